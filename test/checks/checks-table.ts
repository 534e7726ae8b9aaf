import { LIMIT_IDS } from "../../src/machine/limit.ts";
import type { Section } from "./all-checks.ts";
import type { Check } from "./check.ts";

const INTRO = `# Checks

Every formula of the physics against a value from outside the program. \`npm run checks\` writes this page from \`test/checks/\`; \`test/checks/checks.test.ts\` holds every row to its tolerance and the page to what is written anew.

Where a value comes from: **read** in a copy of the source; **from memory**; **derived, closed form**: our own, cross-checked by quadrature, so it proves that the program does what the formula says, not that the formula is true; **common practice, no source**: a rule of the trade, with the case worked out by hand. Data and statuses stand in \`shared/reference/physics/\`. A difference below 1e-10 is not told apart from rounding.
`;

const SMALL = 1e-10;

/** |ours − published| / |published|. */
export function differenceOf({ published, ours }: Check): number {
  return Math.abs(ours() / published - 1);
}

function digits(value: number): string {
  return String(Number(value.toPrecision(9)));
}

function rowText(check: Check): string {
  const { id, formula, source, published, unit, ours, test } = check;
  const difference = differenceOf(check);
  const cells = [
    id,
    formula,
    `${digits(published)} ${unit === "1" ? "" : unit}`.trim(),
    digits(ours()),
    difference < SMALL ? "< 1e-10" : difference.toExponential(1),
    source,
    `\`${test}\``,
  ];
  return `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
}

/** Limits of a single axis or bus that no row names; those of the whole order are counts and sums. */
function withoutRow(checks: readonly Check[]): string[] {
  const named = checks.map(({ id, formula }) => `${id} ${formula}`).join("\n");
  return LIMIT_IDS.filter((id) => !/^(?:caps|machine|order)\./.test(id) && !named.includes(id));
}

/** The page as Markdown. */
export function checksPage(sections: readonly Section[]): string {
  const parts = sections.map(
    ({ title, checks }) =>
      `## ${title}\n\n| id | formula | published | ours | relative difference | source | test |\n|---|---|---|---|---|---|---|\n${checks.map(rowText).join("\n")}\n`,
  );
  const without = withoutRow(sections.flatMap(({ checks }) => checks));
  const rest =
    without.length === 0
      ? "Every limit of an axis or a bus has a row."
      : `Limits of an axis or a bus without a row: ${without.map((id) => `\`${id}\``).join(", ")}.`;
  return `${[INTRO, ...parts].join("\n")}\n${rest} Limits of the machine and of the order are sums and counts.\n`;
}
