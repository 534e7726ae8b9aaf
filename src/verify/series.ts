import { outputTurns } from "../machine/mechanism.ts";
import type { Machine, Site } from "../machine/problem.ts";
import type { Series } from "../machine/verification.ts";
import type { AxisOracle } from "./axis-oracle.ts";
import { dutyOf } from "./duty.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import { type AxisPick, windingTemperatures } from "./evaluate-pick.ts";
import type { PickedMachine } from "./picks.ts";
import { tracesOf } from "./traces.ts";
import { busPower, busRun } from "./verify-bus.ts";

const RPM = (2 * Math.PI) / 60;

/**
 * Curves of every axis and every bus of a result in every run of its machine, the normal cycle first; those of a mode are
 * called by it. A border of the motion stands twice, once for either side.
 */
export function seriesOf(oracle: OrderOracle, machines: readonly PickedMachine[]): Series[] {
  return machines.flatMap((picked, m) =>
    oracle.runs(m).flatMap(({ mode, oracle: run }) => {
      const curves = runSeries(run, m, picked);
      return mode === undefined ? curves : curves.map((one) => ({ ...one, name: `${one.name}-mode-${mode}` }));
    }),
  );
}

function runSeries(oracle: OrderOracle, m: number, picked: PickedMachine): Series[] {
  const { axes } = picked.pick;
  const ofAxes = axes.map((pick, a) => {
    const source = { oracle: oracle.axis(m, a), pick, carried: oracle.carried(m, a, axes) };
    return axisSeries(picked.machine, oracle.problem.site, source);
  });
  return [...ofAxes, ...busSeries(oracle, m, picked)];
}

interface AxisCurves {
  readonly oracle: AxisOracle;
  readonly pick: AxisPick;
  readonly carried: number;
}

function axisSeries({ id }: Machine, site: Site, { oracle, pick, carried }: AxisCurves): Series {
  const { axis } = oracle;
  const { motor, gearbox, inductor } = pick;
  const shaft = oracle.shaft(carried);
  const { torque, speed, current, power } = tracesOf(axis, pick, shaft);
  const duty = dutyOf(axis, shaft, motor, gearbox, inductor?.inductance ?? 0);
  const winding = windingTemperatures(site, motor, duty, Math.cos(axis.needs.commutationError));
  const length = outputTurns(axis.mechanism) ? "rad" : "m";
  return {
    name: `${id}-${axis.id}`,
    columns: [
      { header: "time [s]", values: shaft.sampled.grid.time },
      { header: `position [${length}]`, values: shaft.sampled.position },
      { header: `speed [${length}/s]`, values: shaft.sampled.speed },
      { header: "motor speed [rpm]", values: speed.map((value) => value / RPM) },
      { header: "motor torque [N*m]", values: torque },
      { header: "motor current [A]", values: current },
      { header: "power without fixed losses [W]", values: power },
      ...(winding === null ? [] : [{ header: "winding temperature [degC]", values: winding }]),
    ],
  };
}

function busSeries(oracle: OrderOracle, m: number, { machine, buses, pick }: PickedMachine): Series[] {
  return machine.buses.flatMap((bus, b) => {
    const [stated, option] = [buses[b], pick.buses[b]];
    if (stated === undefined || option === undefined) return [];
    const run = busRun({ oracle, m, bus, stated, pick, option });
    const columns = [
      { header: "time [s]", values: oracle.grid(m).time },
      { header: "power of the drives [W]", values: busPower(oracle.load(m, bus, pick.axes)) },
    ];
    const simulated =
      run === null
        ? []
        : [
            { header: "power of the supply [W]", values: run.supplied },
            { header: "power of the brake resistor [W]", values: run.braked },
            { header: "bus voltage [V]", values: run.voltage },
          ];
    return [{ name: `${machine.id}-bus-${bus.id}`, columns: [...columns, ...simulated] }];
  });
}
