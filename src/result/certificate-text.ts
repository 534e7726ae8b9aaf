import type { Findings } from "../prove/findings.ts";

/** The certificate file; JSON, but for what is infinite: the texts "Infinity" and "-Infinity" stand for those numbers. */
interface CertificateFile extends Findings {
  readonly format: typeof CERTIFICATE_FORMAT;
}

export const CERTIFICATE_FORMAT = "fewframe-certificate/4";

/**
 * The proof as a JSON file: what was found on the way, down to branches with their multipliers and bounds.
 *
 * "Infinity" as a limit: every answer is excluded; as a bound: nothing is left in the branch. "-Infinity" as a bound:
 * none was worked out.
 */
export function certificateText(findings: Findings): string {
  const file: CertificateFile = { format: CERTIFICATE_FORMAT, ...findings };
  return `${JSON.stringify(file, (_key, value: unknown) => withoutInfinity(value), 1)}\n`;
}

/**
 * Reads back what `certificateText` wrote.
 *
 * @param text - valid by the schema `certificate`
 */
export function findingsFrom(text: string): Findings {
  const file: CertificateFile = JSON.parse(text, (key, value: unknown) => (isMoney(key) ? withInfinity(value) : value));
  return { stopped: file.stopped, steps: file.steps };
}

/** Members that can be infinite; a part can be called Infinity, too. */
function isMoney(key: string): boolean {
  return key === "limit" || key === "bound";
}

const INFINITE: ReadonlyMap<unknown, number> = new Map([Infinity, -Infinity].map((value) => [String(value), value]));

function withInfinity(value: unknown): unknown {
  return INFINITE.get(value) ?? value;
}

function withoutInfinity(value: unknown): unknown {
  return value === Infinity || value === -Infinity ? String(value) : value;
}
