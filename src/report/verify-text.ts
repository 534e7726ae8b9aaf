import type {
  AxisVerification,
  BoundCheck,
  BusVerification,
  Compared,
  MachineVerification,
  VerificationDocument,
  Verified,
} from "../machine/verification.ts";
import { counted, figure, sharePercent } from "./figures.ts";
import { columnsOf, labelled, printable, wrap } from "./layout.ts";
import { proofWords } from "./proof-words.ts";

const COLUMN = 11;
const NAME = 27;
const NUMBER = 11;
const UNIT = 6;
const DIFFERENCE = 10;
const BOUND_NAME = 38;
const BESIDE = { first: COLUMN, rest: COLUMN };

/** The comparison as text of at most 80 columns, plain. */
export function verifyText(doc: VerificationDocument): string {
  const places = placesOf(doc);
  const lines = [
    ...wrap(printable(doc.title), { first: 0, rest: 0 }),
    ...labelled("VERIFY", summary(doc, places), COLUMN),
    ...labelled("PROOF", proofWords(doc.proof), COLUMN),
    ...changedLines(doc),
    ...faultLines(places),
    ...places.flatMap(placeLines),
    ...boundLines(places),
    ...uncheckedLines(places),
    "",
    ...labelled("TAKE CARE", CARE, COLUMN),
  ];
  return `${lines.join("\n")}\n`;
}

const CARE =
  "That two computations agree shows that the numbers are worked out as described, not that the catalogues or the " +
  "problem are right. The result stays a proposal for a qualified engineer to check, not a release.";

/** A set of figures with the name it is printed under. */
interface Place {
  readonly name: string;
  readonly label: string;
  readonly parts: readonly string[];
  readonly own: Verified;
}

function placesOf({ machines, order }: VerificationDocument): Place[] {
  const several = machines.length > 1;
  return [
    ...machines.flatMap((machine) => machinePlaces(machine, several)),
    { name: "the order", label: "ORDER", parts: [], own: order },
  ];
}

function machinePlaces({ id, axes, buses, own }: MachineVerification, several: boolean): Place[] {
  const prefix = several ? `${printable(id)}/` : "";
  const place = (one: AxisVerification | BusVerification, kind: string): Place => ({
    name: `${kind}${prefix}${printable(one.id)}`,
    label: `${kind}${prefix}${printable(one.id)}`,
    parts: one.parts,
    own: one,
  });
  return [
    ...axes.map((axis) => place(axis, "")),
    ...buses.map((bus) => place(bus, "bus ")),
    { name: `machine ${printable(id)}`, label: "MACHINE", parts: [id], own },
  ];
}

function summary({ compared, largest }: VerificationDocument, places: readonly Place[]): string {
  const bad = places.reduce((sum, { own }) => sum + faultsOf(own).length, 0);
  if (compared === 0 && bad === 0) return "The result has no answer: there is nothing to simulate.";
  const figures = `${counted(compared, "figure")} of the result beside a simulation in time steps`;
  const most =
    largest === null
      ? ""
      : ` Largest difference ${sharePercent(largest.difference)}: ${largest.id} of ${printable(largest.at)}.`;
  const outcome =
    bad === 0 ? "all agree within 0.1 %, every limit passes." : `${counted(bad, "thing does", "things do")} not hold.`;
  return `${figures}: ${outcome}${most}`;
}

function changedLines({ changed }: VerificationDocument): string[] {
  if (changed.length === 0) return [];
  return labelled("CHANGED", `Not the files the result was made from: ${changed.map(printable).join(", ")}.`, COLUMN);
}

/** What does not hold, in words, before the tables. */
function faultLines(places: readonly Place[]): string[] {
  const found = places.flatMap(({ name, own }) => faultsOf(own).map((words) => `${name}: ${words}.`));
  return found.flatMap((words, index) =>
    labelled(index === 0 ? "DIFFERS" : "", words, { ...BESIDE, rest: COLUMN + 2 }),
  );
}

function faultsOf({ compared, unfit, bounds }: Verified): string[] {
  return [
    ...unfit.map(printable),
    ...compared.flatMap((one) => (one.verdict === "agrees" ? [] : [comparedWords(one)])),
    ...bounds.flatMap((bound) => (bound.holds ? [] : [brokenBound(bound)])),
  ];
}

function comparedWords(one: Compared): string {
  const { unit, demand, allowed, simulated, simulated_allowed, difference } = one;
  const id = `${one.id}${inMode(one)}`;
  if (one.verdict === "fails") return `${id} is exceeded: ${shown(simulated)} of ${shown(simulated_allowed)} ${unit}`;
  if (demand === null) return `${id} is missing in the result`;
  if (one.verdict === "missing") return `${id} is unknown to the simulation`;
  if (simulated === null)
    return `${id} is ${ofAllowed(demand, allowed)} "${printable(unit)}" in the result, no unit of it`;
  const stated = `${id} is ${ofAllowed(demand, allowed)} in the result`;
  const seen = `${ofAllowed(simulated, simulated_allowed)} ${unit} in the simulation`;
  // Demand and allowed agree, so what is wrong is the third number of a limit.
  if (difference !== null && difference <= 1e-3)
    return `${id} has a utilisation that is not its demand over its allowed`;
  return `${stated}, ${seen}${difference === null ? "" : `, ${sharePercent(difference)} apart`}`;
}

function inMode({ mode }: { readonly mode?: string }): string {
  return mode === undefined ? "" : ` in mode ${printable(mode)}`;
}

function ofAllowed(demand: number, allowed: number | null): string {
  return allowed === null ? shown(demand) : `${shown(demand)} of ${shown(allowed)}`;
}

function brokenBound(bound: BoundCheck): string {
  const { id, unit, stated, simulated } = bound;
  return `${id}${inMode(bound)}: ${shown(simulated)} ${unit} simulated is above the bound of ${shown(stated)} ${unit}`;
}

function placeLines({ label, parts, own }: Place): string[] {
  if (own.compared.length === 0) return [];
  const head = labelled(label, parts.length === 0 ? "caps and costs" : parts.map(printable).join(", "), COLUMN);
  return ["", ...head, heading(), ...own.compared.map(comparedLine)];
}

function heading(): string {
  const numbers = ["result", "simulated", "allowed"].map((word) => word.padStart(NUMBER)).join("");
  return `  ${"".padEnd(NAME)}${numbers} ${"unit".padEnd(UNIT)}${"apart".padStart(DIFFERENCE)}`;
}

function comparedLine(one: Compared): string {
  const { id, unit, demand, simulated, simulated_allowed, difference, verdict } = one;
  const numbers = [demand, simulated, simulated_allowed].map((value) => padStart(shown(value), NUMBER)).join("");
  const apart = difference === null ? "" : `${(difference * 100).toFixed(4)} %`;
  const mark = verdict === "agrees" ? "  " : "! ";
  const named = unit === "1" ? "" : printable(unit);
  return `${mark}${id.padEnd(NAME)}${numbers} ${named.padEnd(UNIT)}${apart.padStart(DIFFERENCE)}`.trimEnd();
}

function padStart(text: string, width: number): string {
  return " ".repeat(Math.max(1, width - columnsOf(text))) + text;
}

function shown(value: number | null): string {
  if (value === null) return "-";
  return value !== 0 && Math.abs(value) < 1e-4 ? value.toExponential(4) : figure(value, 5);
}

const BECAUSE: Readonly<Record<BoundCheck["because"], string>> = {
  modulation: "Current ripple: at the deepest modulation of the axis in place of the worst there is.",
  capacitors: "Bus: with what the capacitors of supply and drives take and give.",
};

/** Demands on the safe side, what a closer simulation sees, and the room between. */
function boundLines(places: readonly Place[]): string[] {
  const found = places.flatMap(({ name, own }) => own.bounds.map((bound) => ({ name, bound })));
  if (found.length === 0) return [];
  const reasons = new Set(found.map(({ bound }) => BECAUSE[bound.because]));
  const intro = `Demands that are bounds, beside a closer simulation. ${[...reasons].join(" ")}`;
  const numbers = ["bound", "simulated"].map((word) => word.padStart(NUMBER)).join("");
  const head = `  ${"".padEnd(BOUND_NAME)}${numbers} ${"unit".padEnd(UNIT)}${"room".padStart(DIFFERENCE)}`;
  return [
    "",
    ...labelled("SAFE SIDE", intro, COLUMN),
    head,
    ...found.flatMap(({ name, bound }) => boundRow(name, bound)),
  ];
}

function boundRow(name: string, bound: BoundCheck): string[] {
  const { id, unit, stated, simulated, room, holds } = bound;
  const what = `${name} ${id}${inMode(bound)}`;
  // A long name gets a line of its own.
  const before = columnsOf(what) > BOUND_NAME ? wrap(what, { first: 2, rest: 2 }) : [];
  const label = before.length > 0 ? "" : what;
  const numbers = [stated, simulated].map((value) => padStart(shown(value), NUMBER)).join("");
  const left = `${(Math.abs(room) < 5e-5 ? 0 : room * 100).toFixed(2)} %`;
  const text = label + " ".repeat(BOUND_NAME - columnsOf(label)) + numbers;
  return [...before, `${holds ? "  " : "! "}${text} ${printable(unit).padEnd(UNIT)}${left.padStart(DIFFERENCE)}`];
}

function uncheckedLines(places: readonly Place[]): string[] {
  const found = places.flatMap(({ name, own }) => own.not_checked.map((id) => `${id} of ${name}`));
  if (found.length === 0) return [];
  return ["", ...labelled("UNKNOWN", `Not checked for want of a catalogue value: ${found.join(", ")}.`, COLUMN)];
}
