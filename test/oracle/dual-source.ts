import type { Catalogue, PartKind } from "../../src/machine/catalogue.ts";
import type { MachinePick } from "../../src/verify/answer.ts";
import { partsOfKind, substituteFault, type WantedPart, wantedParts } from "../../src/verify/dual-source.ts";
import type { OrderOracle } from "../../src/verify/evaluate-machine.ts";
import type { AxisPick } from "../../src/verify/evaluate-pick.ts";

/** Whether every part of an answer that needs a substitute has one, by trying every part of the catalogues. */
export function isDualSourced(oracle: OrderOracle, answer: readonly MachinePick[], room = 0): boolean {
  return lackingPart(oracle, answer, room) === undefined;
}

/** A part of an answer that needs a substitute and has none. */
export function lackingPart(oracle: OrderOracle, answer: readonly MachinePick[], room = 0): WantedPart | undefined {
  return wantedParts(oracle, answer).find((wanted) =>
    partsOfKind(oracle.catalogue, wanted.part.kind).every(
      (other) => substituteFault(oracle, answer, { wanted, other, room }) !== null,
    ),
  );
}

/** Whether a candidate passes with a part of another maker in the place of its own of a kind. */
export function hasOther(
  kind: PartKind,
  { pick, parts, passes }: { pick: AxisPick; parts: Catalogue; passes: (pick: AxisPick) => boolean },
): boolean {
  const { motor: own, gearbox, drive, inductor } = pick;
  switch (kind) {
    case "motor":
      return parts.motors.some(
        (other) => other.maker !== own.maker && other.frame === own.frame && passes({ ...pick, motor: other }),
      );
    case "gearbox":
      return (
        gearbox === null ||
        parts.gearboxes.some(
          (other) =>
            other.maker !== gearbox.maker &&
            other.frame === gearbox.frame &&
            other.style === gearbox.style &&
            passes({ ...pick, gearbox: other }),
        )
      );
    case "drive":
      return parts.drives.some(
        (other) => other.maker !== drive.maker && other.channels >= drive.channels && passes({ ...pick, drive: other }),
      );
    case "inductor":
      return (
        inductor === null ||
        parts.inductors.some((other) => other.maker !== inductor.maker && passes({ ...pick, inductor: other }))
      );
    case "supply":
    case "resistor":
    default:
      return true;
  }
}
