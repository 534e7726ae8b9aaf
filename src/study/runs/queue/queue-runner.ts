import type { Fault } from "../../../faults/fault.ts";
import { sortFaults } from "../../../faults/fault-line.ts";
import type { RunTask } from "../run.ts";
import type { Runner } from "../runner.ts";
import type { QueueAddress } from "./address.ts";
import { bundleOf } from "./bundle.ts";
import { openConnection } from "./connection.ts";
import { type Desk, openDesk } from "./desk.ts";

/** How a study uses a queue. */
export interface QueueRunnerOptions {
  /** Longest that Redis may be silent before the study ends [s]. */
  readonly patience: number;
  /** true from the moment the study is to stop: what no worker has begun is taken back. */
  readonly aborted: () => boolean;
  readonly tell: (message: string) => void;
}

/** Runs offered at a time: enough for many workers, few enough for Redis to hold. */
const WIDTH = 256;

/** Workers behind a queue on Redis. It is connected to with the first run. */
export function queueRunner(address: QueueAddress, options: QueueRunnerOptions): Runner {
  let opening: Promise<Desk> | undefined;
  const open = async (): Promise<Desk> => openDesk(await openConnection(address, options), options);
  return {
    width: WIDTH,
    faultsOf: queueFaults,
    run: async (task) => {
      opening ??= open();
      return (await opening).run(task);
    },
    close: async () => {
      const desk = await opening?.catch(() => undefined);
      await desk?.close();
    },
  };
}

/** Faults of all tasks, each once. */
function queueFaults(tasks: readonly RunTask[]): readonly Fault[] {
  const faults = tasks.map(bundleOf).flatMap((bundle) => (bundle.ok ? [] : bundle.faults));
  return sortFaults([...new Map(faults.map((fault) => [JSON.stringify(fault), fault])).values()]);
}
