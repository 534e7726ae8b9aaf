import type { MachinePick } from "../../src/verify/answer.ts";
import { partsOfKind, substituteFault, wantedParts } from "../../src/verify/dual-source.ts";
import type { OrderOracle } from "../../src/verify/evaluate-machine.ts";

/** Whether every part of an answer that needs a substitute has one, by trying every part of the catalogues. */
export function isDualSourced(oracle: OrderOracle, answer: readonly MachinePick[], room = 0): boolean {
  return wantedParts(oracle, answer).every((wanted) =>
    partsOfKind(oracle.catalogue, wanted.part.kind).some(
      (other) => substituteFault(oracle, answer, { wanted, other, room }) === null,
    ),
  );
}
