import type { Decision } from "../../src/decide/decide.ts";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import type { OrderOracle, OrderVerdict } from "../../src/verify/evaluate-machine.ts";
import { compareTies } from "./brute-force.ts";
import { pickedBy } from "./decided.ts";

/** Nearer to 1 than this, stepping through time may see a limit pass that does not, or the other way round. */
export const NEAR = 0.002;
/** What 2000 steps in each law piece may miss of the energy bill: a share of it, and rounding to whole cents. */
const ENERGY_SHARE = 2e-5;

/** How the program's answer compares with an oracle's. */
export type Agreement =
  | { readonly kind: "same"; readonly feasible: boolean }
  | { readonly kind: "near"; readonly closeness: number }
  | { readonly kind: "energy-tie" }
  | { readonly kind: "wrong"; readonly why: string };

const bus = ({ supply, resistor }: MachinePick["buses"][number]): string =>
  `${supply?.part ?? "-"} + ${resistor?.part ?? "-"}`;

/** Picks as text, axis by axis and bus by bus. */
export function textOf(answer: readonly MachinePick[]): string {
  return answer.map(({ axes, buses }) => [...axes.map(pickKey), ...buses.map(bus)].join("\n")).join("\n\n");
}

/** The cheapest answer of all that an oracle found, the tie rule carried through; null: no answer stands. */
export type OracleBest = { readonly answer: readonly MachinePick[]; readonly verdict: OrderVerdict } | null;

/**
 * Compares what was decided with the cheapest answer of all.
 *
 * @param fine - the oracle on a finer grid: what the program's answer costs
 */
export function agreementOf(
  title: string,
  decision: Pick<Decision, "status" | "answer" | "evaluated">,
  best: OracleBest,
  fine: OrderOracle,
): Agreement {
  const mine = pickedBy(decision);
  const wrong = (why: string): Agreement => ({ kind: "wrong", why: `${title}: ${why}` });
  if (mine === null || decision.evaluated === undefined) {
    if (decision.status !== "infeasible") return wrong(`stopped as ${decision.status}`);
    if (best === null) return { kind: "same", feasible: false };
    if (best.verdict.closeness < NEAR) return { kind: "near", closeness: best.verdict.closeness };
    return wrong(`nothing found, but this stands at ${best.verdict.total}:\n${textOf(best.answer)}`);
  }
  if (decision.status !== "optimal") return wrong(`stopped as ${decision.status}`);
  const seen = fine.evaluate(mine);
  const { total, terms } = decision.evaluated.money;
  const closeness = Math.min(seen.closeness, best?.verdict.closeness ?? 1);
  if (!seen.feasible || best === null) {
    if (closeness < NEAR) return { kind: "near", closeness };
    return wrong(`the pick fails ${seen.failed.join(", ")}:\n${textOf(mine)}`);
  }
  const energy = seen.money.terms.energy;
  const room = energy === 0 && terms.energy === 0 ? 0 : 1 + ENERGY_SHARE * Math.abs(energy);
  if (Math.abs(total - seen.total) > room) return wrong(`costs ${seen.total}, not ${total}:\n${textOf(mine)}`);
  if (textOf(mine) === textOf(best.answer)) return { kind: "same", feasible: true };
  if (closeness < NEAR) return { kind: "near", closeness };
  if (room > 0 && Math.abs(total - best.verdict.total) <= 2 * room) return { kind: "energy-tie" };
  const tie = compareTies({ answer: mine, money: seen.money }, { answer: best.answer, money: best.verdict.money });
  return wrong(
    `picks at ${total}\n${textOf(mine)}\nand not at ${best.verdict.total}${total === best.verdict.total ? ` (tie ${tie})` : ""}\n${textOf(best.answer)}`,
  );
}
