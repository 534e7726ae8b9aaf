import { eachCandidate } from "../src/candidates/each-candidate.ts";
import { frameFits } from "../src/candidates/fit.ts";
import type { JudgedAxis } from "../src/decide/judged-axis.ts";
import { judgedAxes } from "../src/decide/narrow.ts";
import type { Setup } from "../src/decide/setup.ts";
import type { Catalogue } from "../src/machine/catalogue.ts";
import { type Duty, dutyOf } from "../src/physics/duty/duty.ts";
import type { SignalPiece } from "../src/physics/duty/signal-piece.ts";
import { line, median, number, readSetup, timed } from "./read-setup.ts";
import { STEPS, type Stepped, type SteppedAxis, type SteppedPick, steppedAxis, stepThrough } from "./time-stepping.ts";

const RUNS = 5;
/** Candidates that stepping judges on each axis. */
const SAMPLE = 2000;

/** An axis ready for both ways of judging. */
interface Sample {
  readonly axis: JudgedAxis;
  readonly stepped: SteppedAxis;
  readonly picks: readonly SteppedPick[];
}

await compare(await readSetup("problems/tray-transplanter.json"));

async function compare(setup: Setup): Promise<void> {
  // Warm both up, then take turns, so that neither profits from a quieter machine.
  judgedAxes(setup);
  const judged = judgedAxes(setup).flat();
  const samples = judged.map((axis) => ({
    axis,
    stepped: steppedAxis({ ...axis.setup, busLow: axis.setup.voltage.low }, signals(dutyAt(axis))),
    picks: samplePicks(axis, setup.catalogue),
  }));
  stepSamples(samples);
  const [judging, stepping]: [number[], number[]] = [[], []];
  for (let run = 0; run < RUNS; run++) {
    judging.push((await timed(() => judgedAxes(setup))).seconds);
    stepping.push((await timed(() => stepSamples(samples))).seconds);
  }
  const sampled = samples.reduce((sum, { picks }) => sum + picks.length, 0);
  console.log(
    `Judging: demo catalogues, ${judged.length} axes; median of ${RUNS} runs of each, in turns, in one process`,
  );
  printRatios(countsOf(setup, judged), median(judging), { each: median(stepping) / sampled, sampled });
  const { accepted, beyond } = comparison(setup, samples);
  line("accepted by judging, stepped for comparison", number(accepted), "on axes that carry nothing");
  line("  over 1 % beyond a limit by stepping", number(beyond), "0: the two judge the same thing");
}

interface Counts {
  readonly all: number;
  readonly fitting: number;
  readonly pairs: number;
}

function printRatios(
  { all, fitting, pairs }: Counts,
  seconds: number,
  { each, sampled }: { each: number; sampled: number },
): void {
  line("judging all axes, duty included", `${number(seconds * 1000)} ms`);
  line(
    `time stepping, ${STEPS} steps`,
    `${number(each * 1e6)} us`,
    `per candidate, over ${number(sampled)} candidates`,
  );
  const cases: readonly (readonly [string, number])[] = [
    ["all catalogue combinations", all],
    ["those whose parts fit together and the axis", fitting],
    ["motor and gearbox only, one stepping for all drives", pairs],
  ];
  for (const [name, count] of cases) {
    line(name, number(count));
    line("  judged per second", number(count / seconds));
    line("  time stepping per second", number(1 / each));
    line("  ratio", number((count / seconds) * each), "times per candidate, in this run");
  }
}

/** The duty at the middle of what the axis can carry. */
function dutyAt({ setup: { axis, cycle }, range }: JudgedAxis): Duty {
  return dutyOf(axis, cycle, range);
}

/** Signals at the middle of every step. */
function signals({ pieces, period }: Duty): Record<"speed" | "acceleration" | "torque", Float64Array> {
  const read = (signal: (piece: SignalPiece, time: number) => number): Float64Array =>
    Float64Array.from({ length: STEPS }, (_, k) => {
      const time = ((k + 0.5) * period) / STEPS;
      const piece = pieces.find(({ from, to }) => time >= from && time < to);
      return piece === undefined ? 0 : signal(piece, time);
    });
  return {
    speed: read((piece, time) => piece.speed(time)),
    acceleration: read((piece, time) => piece.acceleration(time)),
    torque: read((piece, time) => piece.torque(time)),
  };
}

/** Fitting picks of an axis, spread evenly over the catalogues. */
function samplePicks({ setup: { fit } }: JudgedAxis, { motors, gearboxes, drives }: Catalogue): SteppedPick[] {
  const picks: SteppedPick[] = [];
  for (let k = 0; picks.length < SAMPLE && k < 100 * SAMPLE; k++) {
    const motor = motors[fit.motors[(k * 7) % fit.motors.length] ?? -1];
    const gearbox = gearboxes[fit.gearboxes[(k * 11 + Math.floor(k / 5)) % fit.gearboxes.length] ?? -1];
    const drive = drives[fit.drives[(k * 3) % fit.drives.length] ?? -1];
    if (motor !== undefined && drive !== undefined && frameFits(motor, gearbox)) picks.push({ motor, gearbox, drive });
  }
  return picks;
}

/** Uses every result, so that no engine drops the work. */
function stepSamples(samples: readonly Sample[]): number {
  let sum = 0;
  for (const { stepped, picks } of samples) for (const pick of picks) sum += stepThrough(stepped, pick).meanPower;
  return sum;
}

function countsOf({ catalogue: { motors, gearboxes } }: Setup, axes: readonly JudgedAxis[]): Counts {
  let [all, fitting, pairs] = [0, 0, 0];
  for (const { tally, setup } of axes) {
    all += tally.judged;
    fitting += tally.judged - [...tally.unfit.values()].reduce((sum, count) => sum + count, 0);
    const fits = setup.fit.motors.flatMap((index) => motors[index] ?? []);
    for (const g of setup.fit.gearboxes) pairs += fits.filter((motor) => frameFits(motor, gearboxes[g])).length;
  }
  return { all, fitting, pairs };
}

/** Steps through what judging accepted: an accepted candidate must not break a limit that stepping sees. */
function comparison({ catalogue }: Setup, samples: readonly Sample[]): { accepted: number; beyond: number } {
  let [accepted, beyond, at] = [0, 0, 0];
  for (const { axis, stepped } of samples) {
    if (axis.setup.riders.length > 0) continue;
    const [look] = axis.looks;
    if (look === undefined) continue;
    eachCandidate(look.judged, (pair, d) => {
      const [motor, gearbox, drive] = [
        catalogue.motors[pair.motor],
        catalogue.gearboxes[pair.gearbox],
        catalogue.drives[d],
      ];
      at += 1;
      if (at % 97 !== 0 || motor === undefined || drive === undefined) return;
      accepted += 1;
      if (utilisations(stepThrough(stepped, { motor, gearbox, drive })).some((share) => share > 1.01)) beyond += 1;
    });
  }
  return { accepted, beyond };
}

function utilisations(found: Stepped): number[] {
  const { continuousTorque, peak, torqueAtSpeed, speed, continuousCurrent, peakCurrent, voltage } = found;
  return [continuousTorque, peak, torqueAtSpeed, speed, continuousCurrent, peakCurrent, voltage];
}
