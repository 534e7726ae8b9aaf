import type { EvaluatedAxis } from "../decide/evaluate.ts";
import type { MachineSetup } from "../decide/setup.ts";
import { canFall } from "../report/caution-input.ts";

/** True where gravity or imbalance can move an axis at rest in any run of its machine. */
export function hangs(setup: MachineSetup, { pick, runs }: EvaluatedAxis): boolean {
  const carries = setup.axes.some((other) => other.axis.carriedBy === pick.duty.axis.id);
  return runs.some((run) => canFall(run.pick.duty.axis, carries));
}
