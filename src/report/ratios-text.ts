import type { LimitId } from "../machine/limit.ts";
import type { MotorRatios, RatiosDocument, RatioWindow, WindowEnd } from "../machine/ratios.ts";
import type { Page } from "./axis-text.ts";
import { counted, figure, figureDown, figureUp, money, percent } from "./figures.ts";
import { emphasise, labelled, listed, printable, TIE, withRight, wrap } from "./layout.ts";
import { LIMIT_WORDS, theLimit } from "./limit-words.ts";
import { cautionLines, columnWords } from "./notes-text.ts";
import { ratioTable } from "./ratio-table.ts";
import type { TextStyle } from "./text-style.ts";

const COLUMN = 11;
const UNDER = { first: 2, rest: 4 };

/** The ratios of an axis as text of at most 80 columns: which work with which motor first, then motor by motor. */
export function ratiosText(doc: RatiosDocument, style: TextStyle): string {
  const page: Page = { currency: doc.currency, total: 0, column: COLUMN, style };
  const blocks = [
    [
      ...wrap(printable(doc.title), { first: 0, rest: 0 }),
      ...block("RATIOS", [headWords(doc), ...answers(doc)], style),
    ],
    block("MORE", moreWords(doc), style),
    ...doc.motors.map((motor) => motorLines(motor, doc, style)),
    block("ASSUMED", assumedWords(doc), style),
    cautionLines(doc.cautions, page),
  ];
  const shown = blocks.filter((lines) => lines.length > 0);
  return `${shown.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

function block(label: string, items: readonly string[], style: TextStyle): string[] {
  const lines = items.flatMap((item, k) => labelled(k === 0 ? label : "", item, { first: COLUMN, rest: COLUMN + 2 }));
  return emphasise(lines, label, style.strong);
}

function headWords(doc: RatiosDocument): string {
  const where = `${printable(doc.axis)} (${doc.mechanism}), in ${figure(doc.quantity)} x ${printable(doc.machine)}`;
  const works = doc.motors.filter(worksNow).length + doc.others.filter(({ standing }) => standing === "works").length;
  const all = doc.motors.length + doc.others.length;
  const how = `with some gearbox${orNone(doc)}`;
  if (doc.asked) return `${where}: ${counted(all, "motor")} asked for.`;
  if (works === 0) return `${where}: none of ${counted(all, "motor")} works ${how}.`;
  const next = works > doc.motors.length && doc.inputs.result === undefined ? " The cheapest:" : "";
  return `${where}: ${figure(works)} of ${counted(all, "motor")} ${works === 1 ? "works" : "work"} ${how}.${next}`;
}

function orNone({ motors }: RatiosDocument): string {
  return motors.some(({ gearboxes }) => gearboxes.some(({ gearbox }) => gearbox === null)) ? " or without" : "";
}

function worksNow({ gearboxes }: MotorRatios): boolean {
  return gearboxes.some(({ passes }) => passes);
}

/** One line for each motor looked at: its ratios and its cheapest pick. */
function answers({ motors, currency }: RatiosDocument): string[] {
  return motors.map((motor) => `${printable(motor.motor)}: ${windowWords(motor)}; ${cheapestWords(motor, currency)}.`);
}

function windowWords({ windows }: MotorRatios): string {
  if (windows.length === 0) return "no ratio works";
  return `works ${listed(windows.map(({ from, to }) => `from ${lowText(from)} to ${highText(to)}`))}`;
}

function cheapestWords({ gearboxes }: MotorRatios, currency: string): string {
  const [first, ...others] = gearboxes.filter(({ passes }) => passes);
  if (first === undefined) return "no real gearbox does";
  const best = others.reduce((least, pick) => (pick.price < least.price ? pick : least), first);
  const what =
    best.gearbox === null ? "without a gearbox" : `with ${printable(best.gearbox)} at${TIE}${figure(best.ratio, 5)}:1`;
  return `cheapest ${what}: ${currency}${TIE}${money(best.price)}`;
}

/** `4.48:1` */
function ratioText(ratio: number): string {
  return `${figure(ratio)}:1`;
}

/** Ends of a window, rounded inwards. */
function lowText({ ratio }: WindowEnd): string {
  return `${figureUp(ratio)}:1`;
}

function highText({ ratio }: WindowEnd): string {
  return `${figureDown(ratio)}:1`;
}

/** What became of the motors that are not looked at. */
function moreWords({ asked, others, unfit }: RatiosDocument): string[] {
  if (asked) return [];
  const of = (standing: string): typeof others => others.filter((other) => other.standing === standing);
  const [works, between, fails] = [of("works"), of("between"), of("fails")];
  const stay = unfit.reduce((sum, { motors }) => sum + motors, 0);
  return [
    works.length === 0
      ? ""
      : `${counted(works.length, "more motor works", "more motors work")}; --motor shows any of them.`,
    between.length === 0
      ? ""
      : `${counted(between.length, "motor")} would work at ratios between the real ones, or with a gearbox or drive that takes more.`,
    fails.length === 0
      ? ""
      : `${counted(fails.length, "motor fails", "motors fail")} at every ratio: ${failsWords(fails)}.`,
    stay === 0 ? "" : `${counted(stay, "motor")} cannot be used here: ${unfitWords(unfit)}.`,
  ].filter((words) => words !== "");
}

function unfitWords(unfit: RatiosDocument["unfit"]): string {
  const [first, another] = unfit;
  if (first !== undefined && another === undefined) return first.reason;
  return unfit.map(({ reason, motors }) => `${reason} ${figure(motors)}`).join(", ");
}

/** How often each limit, or limits that leave no ratio in common, is why. */
function failsWords(fails: RatiosDocument["others"]): string {
  const counts = new Map<string, number>();
  for (const { fails: ids } of fails) {
    const words = ids.map((id) => LIMIT_WORDS[id]).join(" with ");
    counts.set(words, (counts.get(words) ?? 0) + 1);
  }
  return [...counts]
    .toSorted(([, a], [, b]) => b - a)
    .map(([words, count]) => `${figure(count)} for ${words}`)
    .join(", ");
}

function motorLines(motor: MotorRatios, doc: RatiosDocument, style: TextStyle): string[] {
  const name = printable(motor.motor);
  const brake = motor.brake ? ", brake" : "";
  const head = withRight(
    wrap(`${name}${brake}: ${windowWords(motor)}`, { first: 0, rest: 2 }),
    `${doc.currency} ${money(motor.price)}`,
  );
  return [
    ...emphasise(head, name, style.strong),
    ...endWords(motor).flatMap((sentence) => wrap(sentence, UNDER)),
    ...wrap(markWords(motor), UNDER),
    ...wrap(gearboxWords(motor), UNDER).map(style.dim),
    ...uncheckedWords(motor).flatMap((sentence) => wrap(sentence, UNDER).map(style.warn)),
    ...ratioTable(motor, doc, style),
  ];
}

/** What closes each window, or why there is none. */
function endWords(motor: MotorRatios): string[] {
  if (motor.range === null) return ["Even without reduction the motor would turn too fast."];
  if (motor.windows.length > 0) return motor.windows.map(windowEnds);
  const names = listed(motor.fails.map(theLimit));
  const hopeless = motor.curve.limits.filter(({ passes }) => passes.length === 0);
  if (hopeless.length === 0) return [`Each of ${names} leaves ratios, but none in common.`];
  return [`No ratio passes ${hopeless.length === 1 ? names : `any of ${names}`}.`];
}

function windowEnds({ from, to }: RatioWindow): string {
  const below = from.limits.length === 0 ? "" : `Below ${lowText(from)} ${failWords(from.limits)}, above`;
  const above = to.limits.length === 0 ? "lie no ratios of the catalogues" : failWords(to.limits);
  return `${below === "" ? "Above" : below} ${highText(to)} ${above}.`;
}

function failWords(limits: readonly LimitId[]): string {
  return `${listed(limits.map(theLimit))} ${limits.length === 1 ? "fails" : "fail"}`;
}

function markWords({ least_heat: coolest, inertia_matched: matched, range }: MotorRatios): string {
  const outside = (ratio: number): string => {
    if (ratio < 1) return ", below 1";
    return range !== null && ratio > range.to ? ", faster than the motor may turn" : "";
  };
  const heat =
    coolest === null
      ? "The heat falls with the ratio throughout"
      : `Least heat at ${ratioText(coolest.ratio)} (${coolest.utilisation === null ? "" : `${percent(coolest.utilisation)} of the continuous torque`}${outside(coolest.ratio)})`;
  const even =
    matched === null ? "no inertia to match is known" : `inertias match at ${ratioText(matched)}${outside(matched)}`;
  return `${heat}; ${even}.`;
}

/** What the window is drawn with. */
function gearboxWords({ assumed, drive, inductor }: MotorRatios): string {
  const { from, gearboxes, efficiency, inertia, drag_torque: drag } = assumed;
  const drawn = `drive ${printable(drive)}${inductor === null ? "" : ` with inductor ${printable(inductor)}`}`;
  if (from === "none") return `Range worked out with ${drawn} and an ideal gearbox, because none carries the motor.`;
  const allowed = from === "axis" ? "" : " (none of which the axis allows)";
  return `Range worked out with ${drawn} and the median of ${counted(gearboxes, "gearbox", "gearboxes")}${allowed}: ${figure(100 * efficiency)}${TIE}% efficient, ${figure(1e4 * inertia)}${TIE}kg*cm^2, drag ${figure(drag, 2)}${TIE}N*m.`;
}

function uncheckedWords({ not_checked: unchecked }: MotorRatios): string[] {
  if (unchecked.length === 0) return [];
  const items = unchecked.map(
    ({ id, missing }: { id: LimitId; missing: string }) => `${LIMIT_WORDS[id]} (no ${columnWords(missing)})`,
  );
  return [`Not checked: ${listed(items)}.`];
}

function assumedWords(doc: RatiosDocument): string[] {
  const allowed = doc.allowed_ratios;
  return [
    "The range in which a motor works takes efficiency, inertia and drag of the median gearbox that carries the motor, and one drive for all ratios; limits of a gearbox itself do not count there. The tables judge real gearboxes in full, each with the cheapest drive that passes, else the one that fails least.",
    ...carriedWords(doc),
    ...(allowed === null
      ? []
      : [
          `The problem allows ratios from ${figure(allowed[0])} to ${figure(allowed[1])}: the tables keep to that, the ranges of the motors do not.`,
        ]),
    `Prices are of motor, gearbox and drive, at the quantity of this axis alone, with its share of a drive of several channels. Energy as if the axis were alone on its bus and nothing it gives back were used.`,
  ];
}

function carriedWords({ carried }: RatiosDocument): string[] {
  const { mass, from, riders } = carried;
  if (from === "nothing") return [];
  const names = listed(riders.map(printable));
  const how =
    from === "result"
      ? "as the result has it."
      : "the lightest motors and gearboxes that pass there. Heavier ones mostly narrow the ranges: --result takes what a solved order has.";
  return [`It carries ${names}: ${figure(mass)}${TIE}kg of motors and gearboxes, ${how}`];
}
