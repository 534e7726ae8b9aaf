import type { Feedback } from "../machine/catalogue.ts";
import type { Caution, DropResult, RideDownResult } from "../machine/result.ts";
import { amountText, figureDown, figureUp } from "./figures.ts";
import { TIE } from "./layout.ts";

/** What the cautions need to know. Before anything is picked, the members of the picks are undefined. */
export interface CautionInput {
  readonly axes: readonly AxisFacts[];
  readonly buses: readonly BusFacts[];
  readonly parts: readonly PartFacts[];
}

/** One axis; `name` is how the cautions call it. */
export interface AxisFacts {
  readonly name: string;
  /** Gravity or imbalance can move it at rest, before any counterbalance. */
  readonly gravity: boolean;
  /** As the user wrote it; undefined: not written. */
  readonly brakeNeed: boolean | undefined;
  /** The picked motor has a brake; undefined: nothing picked. */
  readonly brake: boolean | undefined;
  readonly selfLocking: boolean;
  readonly feedback: Feedback | undefined;
  readonly startsPerHour: number | undefined;
  /** null: gearless; undefined: nothing picked. */
  readonly gearbox: string | null | undefined;
  readonly motor: string | undefined;
  /** null: it has no brake or nothing hangs; undefined: nothing picked. */
  readonly drop: DropResult | null | undefined;
}

/** One DC bus. */
export interface BusFacts {
  readonly name: string;
  readonly supply: string | null | undefined;
  readonly resistor: string | null | undefined;
  /** Highest voltage it can reach [V]; undefined: not known. */
  readonly voltage: number | undefined;
  /** null: nothing hangs on it; undefined: nothing picked. */
  readonly rideDown: RideDownResult | null | undefined;
}

/** One part number that is used. */
export interface PartFacts {
  readonly name: string;
  /** Kt / (√3·Ke) of a motor [1]; undefined for other parts. */
  readonly constantsRatio: number | undefined;
  /** A larger quantity costs more a piece than a smaller one. */
  readonly dearerStep: boolean;
}

/** Above this a gearbox starts too often for its rating. Source: common practice, no source. */
const MANY_STARTS = 1000;
/** Tolerated difference between the two constants of a motor. Source: common practice, no source. */
const CONSTANTS_APART = 0.05;

/** Up to here a bus is not called lethal: 60 V DC. Source: common practice, no source. */
const LOW_VOLTAGE = 60;

/** The cautions that apply, each naming its axis, bus or part; the most dangerous first, the whole order last. */
export function cautionsFor(input: CautionInput): Caution[] {
  return [
    ...input.axes.flatMap(fallingAxis),
    ...input.buses.flatMap(mainsLoss),
    ...input.buses.flatMap(busEnergy),
    ...hotSurfaces(input),
    ...input.axes.flatMap(alignment),
    ...input.axes.flatMap(starts),
    ...input.parts.flatMap(partCautions),
    ...wholeOrder(input),
  ];
}

function fallingAxis(axis: AxisFacts): Caution[] {
  if (!axis.gravity) return [];
  const texts = [fallingWords(axis), ...dropWords(axis)];
  return texts.map((text) => ({ code: "falling-axis", at: axis.name, text }));
}

/** What the axis falls before its brake grips. */
function dropWords({ drop, motor }: AxisFacts): string[] {
  if (drop === null || drop === undefined) return [];
  const { brake_close_time: time, from_standstill: rest, from_motion: most, unit } = drop;
  if (time === null || rest === null || most === null) {
    return [`drops until its brake grips: brake_close_time of motor ${motor ?? ""} not given, ask its maker how far.`];
  }
  // The document keeps these texts, so no ties that only a printed line needs.
  const distance = (value: number): string => amountText({ value, unit }, figureUp).replaceAll(TIE, " ");
  const closing = `${figureUp(1000 * time)} ms`;
  const still = most > rest ? `, ${distance(rest)} from standstill` : "";
  return [`drops up to ${distance(most)} before its brake grips (${closing}${still}), friction not counted.`];
}

function fallingWords({ brake, brakeNeed, selfLocking }: AxisFacts): string {
  const locking = selfLocking ? " A self-locking screw can creep under vibration and does not replace it." : "";
  const guard = "Secure it mechanically before anyone reaches under it.";
  if (brake === true) {
    return `can fall when its brake is opened, worn or oily: a holding brake holds, it is not a safety function by itself.${locking} ${guard}`;
  }
  if (brakeNeed === false) {
    const own = selfLocking ? " Self-locking alone can creep under vibration." : "";
    return `can fall at every loss of torque: its brake was switched off in writing.${own} ${guard}`;
  }
  if (brake === false) return `can fall at every loss of torque: its motor has no brake.${locking} ${guard}`;
  return `can fall when torque is lost or a brake fails: a holding brake holds, it is not a safety function by itself. ${guard}`;
}

/** Axes with a brake that fall before it grips; one without a brake has its caution already. */
function mainsLoss({ name, rideDown: down }: BusFacts): Caution[] {
  if (down?.carries !== false || down.lost_after === null) return [];
  const braked = down.axes.filter(({ brake }) => brake).map(({ id }) => id);
  const { brakes_grip: grip, lost_after: lost } = down;
  if (braked.length === 0 || lost > (grip ?? down.ramp.value)) return [];
  const when = grip === null ? "" : ` (${figureUp(1000 * grip)} ms)`;
  const text = `when the mains fail its drives can lose control after ${figureDown(1000 * lost)} ms, before the brakes of ${braked.join(", ")} grip${when}: allow for the fall until then, from full speed.`;
  return [{ code: "mains-loss", at: name, text }];
}

function busEnergy({ name, supply, voltage }: BusFacts): Caution[] {
  if (supply === null) return [];
  const upTo = voltage === undefined ? "" : ` (up to ${voltage.toFixed(0)} V)`;
  const low = voltage !== undefined && voltage <= LOW_VOLTAGE;
  const text = low
    ? "holds energy in its capacitors after mains off: short circuits burn. Wait and measure before touching (IEC 61800-5-1)."
    : `holds lethal energy${upTo} after mains off. Wait the stated discharge time and measure before touching (IEC 61800-5-1).`;
  return [{ code: "bus-energy", at: name, text }];
}

function hotSurfaces({ axes, buses }: CautionInput): Caution[] {
  const resistors = buses.flatMap(({ name, resistor }) =>
    typeof resistor === "string"
      ? [
          {
            code: "hot-resistor",
            at: `resistor ${resistor} (${name})`,
            text: "gets hot enough to burn skin and to ignite: mount it clear of cables and hands.",
          },
        ]
      : [],
  );
  const motors = [...new Set(axes.flatMap(({ motor }) => motor ?? []))];
  const text = "hot in normal duty, and the drives too: guard what can be touched, let it cool before work.";
  return [...resistors, ...motors.map((motor) => ({ code: "hot-motor", at: motor, text }))];
}

function alignment({ name, feedback }: AxisFacts): Caution[] {
  if (feedback !== "encoder-incremental") return [];
  const text =
    "must move to align its commutation at each switch-on (incremental encoder without Hall tracks): leave it free to move. An alignment error costs torque with its cosine and heats the winding.";
  return [{ code: "alignment-move", at: name, text }];
}

function starts({ name, startsPerHour, gearbox }: AxisFacts): Caution[] {
  if (startsPerHour === undefined || startsPerHour <= MANY_STARTS || typeof gearbox !== "string") return [];
  const text = `starts ${startsPerHour.toFixed(0)} times an hour: above ${MANY_STARTS} ask the maker of gearbox ${gearbox} for its shock factor, then set gearbox_shock.`;
  return [{ code: "many-starts", at: name, text }];
}

function partCautions({ name, constantsRatio, dearerStep }: PartFacts): Caution[] {
  const found: Caution[] = [];
  if (constantsRatio !== undefined && Math.abs(constantsRatio - 1) > CONSTANTS_APART) {
    const away = (100 * (constantsRatio - 1)).toFixed(0);
    const text = `its torque constant is ${away} % off sqrt(3) times its voltage constant: ask its maker which one is peak or per phase; currents and voltages here may be wrong.`;
    found.push({ code: "motor-constants", at: name, text });
  }
  if (dearerStep) {
    const text =
      "its catalogue asks a higher unit price for a larger quantity; used as it stands, so check the price steps.";
    found.push({ code: "dearer-price-step", at: name, text });
  }
  return found;
}

function wholeOrder({ axes }: CautionInput): Caution[] {
  if (axes.length === 0) return [];
  const names = axes.map(({ name }) => name).join(", ");
  return [
    {
      code: "stopping",
      at: "order",
      text: `stopping functions, guards and safe torque off of ${names} need a risk assessment: ISO 12100; control ISO 13849-1 or IEC 62061; stop categories IEC 60204-1; drives IEC 61800-5-2. Local codes and licensed practice come first.`,
    },
    {
      code: "proposal",
      at: "order",
      text: "a proposal for a qualified engineer to check, not a release.",
    },
  ];
}
