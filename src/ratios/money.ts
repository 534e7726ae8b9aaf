import { entryOf } from "../faults/entry-of.ts";
import type { AnyPart, Drive } from "../machine/catalogue.ts";
import type { PickDuty, PickParts } from "../physics/limits/pick-duty.ts";
import { busPower, meanOfSign } from "../physics/power/bus-power.ts";
import { pairPower } from "../physics/power/pair-power.ts";
import type { Subject } from "./subject.ts";

/** Unit price where only this axis uses the part, once in each machine that is built [cent]. */
function unitPrice({ machine }: Subject, part: AnyPart | undefined): number {
  if (part === undefined) return 0;
  const { prices } = part;
  return prices.findLast(({ from }) => from <= machine.machine.quantity)?.price ?? prices[0]?.price ?? 0;
}

/** What an axis has of a drive module: the other axes of its bus can take the other channels. */
function moduleShare({ machine, axis }: Subject, { channels }: Drive): number {
  const around = machine.axes.filter(({ bus }) => bus === axis.bus).length;
  return 1 / Math.max(1, Math.min(channels, around));
}

/** Price of parts on the axis, with its share of a drive module [cent]. */
export function axisPrice(subject: Subject, { motor, gearbox, drive, inductor }: PickParts): number {
  const [own, module] = [[motor, gearbox, inductor], unitPrice(subject, drive)];
  return own.reduce((sum, part) => sum + unitPrice(subject, part), module * moduleShare(subject, drive));
}

/** Price of a motor alone [cent]. */
export function motorPrice(subject: Subject, motor: AnyPart): number {
  return unitPrice(subject, motor);
}

/**
 * Mean power drawn from a bus that feeds nothing else and takes nothing back, over the runs by their shares of the time [W].
 *
 * Source: power balance of the bus; alone, because what other axes take of the power given back is not known here.
 *
 * @param picks - in each run
 */
export function meanInput(subject: Subject, picks: readonly PickDuty[]): number {
  return picks.reduce((sum, pick, run) => {
    const { drive, duty } = pick;
    const fixed = drive.fixedLoss * moduleShare(subject, drive);
    const power = busPower([{ pair: pairPower(pick), lossPerAmp: drive.lossPerAmp }], fixed, duty.period);
    return sum + entryOf(subject.machine.runs, run).share * meanOfSign(power, 1);
  }, 0);
}
