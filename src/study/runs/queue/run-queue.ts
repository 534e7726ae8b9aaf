import { VERSION } from "../../../version.ts";

/** Name of the queue. Runs of different versions never meet in it, since their answers may differ. */
export const RUN_QUEUE: string = `runs-${VERSION}`;

/** Beginning of all its keys in Redis. */
export const QUEUE_PREFIX = "fewframe";

/** How the reason of a run begins that no worker takes. */
export const REFUSED = "refused: ";

/** How the reason of a run begins whose files were not in Redis. */
export const MISSING = "missing: ";

/** A message of an error; what came from elsewhere neither breaks the line nor commands a terminal. */
export function messageOf(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  return message.replaceAll(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, "?").slice(0, 500);
}
