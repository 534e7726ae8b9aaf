import type { Certificate } from "../solve/outcome.ts";

/** The certificate file; JSON, but for what is infinite: the texts "Infinity" and "-Infinity" stand for those numbers. */
interface CertificateFile {
  readonly format: "fewframe-certificate/1";
  /** One for each way of braking that was looked into. */
  readonly proofs: readonly Certificate[];
}

/**
 * The proof as a JSON file: for each way of braking, branches with their multipliers and bounds.
 *
 * "Infinity" as a limit: every answer is excluded; as a bound: nothing is left in the branch. "-Infinity" as a bound:
 * none was worked out.
 */
export function certificateText(certificates: readonly Certificate[]): string {
  const file: CertificateFile = { format: "fewframe-certificate/1", proofs: certificates };
  return `${JSON.stringify(file, (_key, value: unknown) => withoutInfinity(value), 1)}\n`;
}

/**
 * Reads back what `certificateText` wrote.
 *
 * @param text - valid by the schema `certificate`
 */
export function certificatesFrom(text: string): readonly Certificate[] {
  const file: CertificateFile = JSON.parse(text, (_key, value: unknown) => INFINITE.get(value) ?? value);
  return file.proofs;
}

/** No other member of the file holds a text like these. */
const INFINITE: ReadonlyMap<unknown, number> = new Map([Infinity, -Infinity].map((value) => [String(value), value]));

function withoutInfinity(value: unknown): unknown {
  return value === Infinity || value === -Infinity ? String(value) : value;
}
