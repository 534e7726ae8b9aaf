import type { ResultDocument } from "../../src/machine/result.ts";
import { documentText } from "../../src/report/document-text.ts";
import { resultDocument } from "../../src/result/result-document.ts";
import { picksOf } from "../../src/verify/picks.ts";
import { type OrderVerification, verifyOrder } from "../../src/verify/verify-order.ts";
import { decided } from "./decided.ts";
import type { RandomMachine } from "./random-machine.ts";

/** The result of a random order as a file would hold it; undefined where nothing fits. */
export async function resultOf(random: RandomMachine): Promise<ResultDocument | undefined> {
  const { problem, catalogue } = random;
  const decision = await decided(random);
  if (decision.evaluated === undefined) return undefined;
  const file = { path: "random", sha256: "0".repeat(64) };
  const document = resultDocument({
    problem,
    catalogue,
    defaults: [],
    cautions: [],
    inputs: { problem: file, catalogs: [] },
    setup: decision.setup,
    decision,
    explanation: undefined,
    obstacles: [],
    certificate: null,
    fewframe: "0",
    engine: "simplex",
    timing: {},
  });
  return JSON.parse(documentText(document)) as ResultDocument;
}

/** What the simulation says of it. */
export function verificationOf({ problem, catalogue }: RandomMachine, stated: ResultDocument): OrderVerification {
  const machines = picksOf("random", stated, { problem, catalogue });
  if (!machines.ok) throw new Error(JSON.stringify(machines.faults));
  return verifyOrder({ problem, catalogue, stated, machines: machines.value }).verification;
}
