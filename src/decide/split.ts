import { DRIVE_STATE } from "../candidates/judge-drives.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { type AxisColumn, acceptedOf, type JudgedAxis, judgedAxis, surveyedAxis } from "./axis-columns.ts";
import type { MassCase } from "./mass-cases.ts";
import { rangeOf } from "./narrow.ts";
import type { Round } from "./round.ts";
import { ridersFirst, type Setup } from "./setup.ts";
import type { JudgedAxes } from "./sift.ts";

/**
 * Splits what is left by the mass of one axis that rides on others: a light half and a heavy half. In each, whatever carries
 * it is judged anew, so that bounds close in where cheap picks pass only under light loads.
 *
 * @returns undefined where nothing that rides has two masses left
 */
export function splitByMass(
  setup: Setup,
  judged: JudgedAxes,
  columns: Round["columns"],
): readonly [JudgedAxes, JudgedAxes] | undefined {
  const widest = widestRider(setup, columns);
  if (widest === undefined) return undefined;
  const { machine, axis, low, high } = widest;
  const border = (low + high) / 2;
  const half = (keeps: (mass: number) => boolean): JudgedAxes => {
    const kept = judged.map((axes, m) =>
      axes.map((own, a) =>
        restricted(
          own,
          setup.catalogue,
          columns[m]?.[a]?.columns ?? [],
          m === machine && a === axis ? keeps : () => true,
        ),
      ),
    );
    return carriedAnew(setup, kept, { machine, axis });
  };
  return [half((mass) => mass <= border), half((mass) => mass > border)];
}

interface Widest {
  readonly machine: number;
  readonly axis: number;
  readonly low: number;
  readonly high: number;
}

function widestRider({ machines }: Setup, columns: Round["columns"]): Widest | undefined {
  let widest: Widest | undefined;
  machines.forEach(({ axes }, machine) => {
    const riders = new Set(axes.flatMap(({ riders: own }) => own));
    for (const axis of riders) {
      const masses = (columns[machine]?.[axis]?.columns ?? []).map(({ mass }) => mass);
      const low = masses.reduce((least, mass) => Math.min(least, mass), Number.POSITIVE_INFINITY);
      const high = masses.reduce((most, mass) => Math.max(most, mass), 0);
      if (high > low && high - low > (widest === undefined ? 0 : widest.high - widest.low))
        widest = { machine, axis, low, high };
    }
  });
  return widest;
}

/** An axis with only some of its candidates. */
function restricted(
  axis: JudgedAxis,
  { motors, gearboxes }: Catalogue,
  columns: readonly AxisColumn[],
  keeps: (mass: number) => boolean,
): JudgedAxis {
  const drives = new Map<number, Set<AxisColumn["drive"]>>();
  for (const { pair, drive } of columns) drives.set(pair, (drives.get(pair) ?? new Set()).add(drive));
  const { pairs, states, drives: table } = axis.judged;
  const kept = pairs.flatMap((pair, p) => {
    const wanted = drives.get(pair.motor * (gearboxes.length + 1) + pair.gearbox + 1);
    const of = states[p];
    const mass = (motors[pair.motor]?.mass ?? 0) + (gearboxes[pair.gearbox]?.mass ?? 0);
    if (wanted === undefined || of === undefined || !keeps(mass)) return [];
    const state = of.state.map((how, at) => {
      const drive = table.rows[at]?.drive;
      return drive !== undefined && wanted.has(drive) ? how : DRIVE_STATE.rejected;
    });
    return [{ pair, states: { ...of, state } }];
  });
  return {
    ...axis,
    judged: { ...axis.judged, pairs: kept.map(({ pair }) => pair), states: kept.map(({ states: own }) => own) },
  };
}

/** Judges again what carries an axis, over what can now ride on it, among the candidates it had. */
function carriedAnew(
  setup: Setup,
  judged: JudgedAxes,
  { machine: m, axis: rider }: { machine: number; axis: number },
): JudgedAxes {
  return judged.map((axes, index) => {
    const machine = setup.machines[index];
    if (index !== m || machine === undefined) return axes;
    const found: JudgedAxis[] = [...axes];
    for (const at of ridersFirst(machine)) {
      const [own, before] = [machine.axes[at], axes[at]];
      if (own?.riders.includes(rider) !== true || before === undefined) continue;
      found[at] = common(rejudged(before, setup.catalogue, rangeOf(own, found, setup.catalogue)), before);
    }
    return found;
  });
}

function rejudged({ setup, judging }: JudgedAxis, catalogue: Catalogue, range: MassCase): JudgedAxis {
  return judging.accepts === undefined
    ? judgedAxis(setup, catalogue, range)
    : acceptedOf(surveyedAxis(setup, catalogue, range), judging.accepts);
}

/** The candidates of one judging that another had too. */
function common(axis: JudgedAxis, before: JudgedAxis): JudgedAxis {
  const known = new Map(
    before.judged.pairs.map((pair, p) => [`${pair.motor} ${pair.gearbox}`, before.judged.states[p]]),
  );
  const kept = axis.judged.pairs.flatMap((pair, p) => {
    const [was, of] = [known.get(`${pair.motor} ${pair.gearbox}`), axis.judged.states[p]];
    if (was === undefined || of === undefined) return [];
    const state = of.state.map((how, at) => (was.state[at] === DRIVE_STATE.rejected ? DRIVE_STATE.rejected : how));
    return [{ pair, states: { ...of, state } }];
  });
  return {
    ...axis,
    judged: { ...axis.judged, pairs: kept.map(({ pair }) => pair), states: kept.map(({ states }) => states) },
  };
}
