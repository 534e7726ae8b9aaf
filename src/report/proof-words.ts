import type { ProofCheck, ProofStatus } from "../machine/verification.ts";
import { counted, money } from "./figures.ts";
import { printable } from "./layout.ts";

/** Reasons that are told; all of them stand in the document. */
const TOLD = 3;

const HEADS: Readonly<Record<Exclude<ProofStatus, "proved">, string>> = {
  refuted: "DOES NOT HOLD.",
  unproved: "Not proved again, though nothing speaks against it.",
  "not-given": "Not given.",
  "not-checked": "Not looked at.",
};

/** What came of proving the certificate again, in words. */
export function proofWords(proof: ProofCheck): string {
  const { status, failed } = proof;
  if (status === "proved") return `${claimWords(proof)}: proved again without searching, ${extent(proof)}.`;
  const told = failed.slice(0, TOLD).map(({ at, why }) => `${printable(at)}: ${printable(why)}.`);
  const rest = failed.length > TOLD ? [`And ${failed.length - TOLD} more.`] : [];
  return [HEADS[status], ...told, ...rest].join(" ");
}

function claimWords({ claim, bound, unit }: ProofCheck): string {
  if (claim === "infeasible") return "No order at all";
  if (claim === "optimal") return "No cheaper order";
  return bound === null ? "No order below what is stated" : `No order below ${printable(unit)} ${down(bound)}`;
}

function extent({ branches, enumerated }: ProofCheck): string {
  const through = enumerated === 0 ? "" : `, ${enumerated} of them seen through answer by answer`;
  return `${counted(branches, "branch", "branches")}${through}`;
}

/** Whole cents that are still proved. */
function down(bound: number): string {
  return money(Math.floor(bound * 100 + 1e-6) / 100);
}
