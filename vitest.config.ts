import { existsSync } from "node:fs";
import { join } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** Files that take longest, longest first: begun last, one of them would leave the other cores idle in the end. */
const LONGEST = [
  "command/study",
  "acceptance/verify",
  "explain/confirmed",
  "acceptance/plain-model",
  "acceptance/brute-force",
  "command/verify",
  "solve/facility-location",
  "acceptance/portfolios",
  "candidates/judge-axis",
  "frontier/brute-force",
  "verify/verify-result",
  "acceptance/modes",
  "explain/random-orders",
].map((name) => join(import.meta.dirname, "test", `${name}.test.ts`));

const gone = LONGEST.filter((path) => !existsSync(path));
if (gone.length > 0) throw new Error(`vitest.config.ts names files that are gone: ${gone.join(", ")}`);

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const found = LONGEST.indexOf(moduleId);
      return found === -1 ? LONGEST.length : found;
    };
    return (await super.sort(files)).toSorted((x, y) => place(x) - place(y));
  }
}

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    expect: { requireAssertions: true },
    // Every core: by default one of them is left idle.
    maxWorkers: "100%",
    // Nothing here mocks or changes a module, and loading the program anew for every file takes longer than most files.
    isolate: false,
    sequence: { sequencer: LongestFirst },
    testTimeout: 300_000,
    hookTimeout: 120_000,
  },
});
