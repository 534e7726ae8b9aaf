import { COUNTEREXAMPLES } from "./counterexamples.ts";
import { RULES } from "./monotonic-rules.ts";

const INTRO = `# What raising an input does to a limit

\`npm run checks\` writes this page from \`test/checks/\`; \`test/checks/monotonicity.test.ts\` runs every rule over random picks, judged limit by limit, and every counterexample. Utilisation is demand over what is allowed: "never lowers" means that with more of the input it stays or grows, everything else unchanged. Every why is our own reasoning.
`;

function cellsText(cells: readonly string[]): string {
  return `| ${cells.join(" | ")} |`;
}

/** The page as Markdown. */
export function monotonicityPage(): string {
  const rules = RULES.flatMap(({ input, where, neverLowers = [], neverRaises = [], why }) => [
    ...neverLowers.map((limit) => cellsText([input, where, `\`${limit}\``, "never lowers", why])),
    ...neverRaises.map((limit) => cellsText([input, where, `\`${limit}\``, "never raises", why])),
  ]);
  const against = COUNTEREXAMPLES.map(({ input, limit, effect, why }) =>
    cellsText([input, `\`${limit}\``, `${effect} in the example`, why]),
  );
  return [
    INTRO,
    "| more of | where | utilisation of | direction | why |",
    "|---|---|---|---|---|",
    ...rules,
    "",
    "## Where a rule of thumb fails",
    "",
    "| more of | utilisation of | effect | why |",
    "|---|---|---|---|",
    ...against,
    "",
  ].join("\n");
}
