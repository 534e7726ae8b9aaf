import { defineConfig } from "vitest/config";

/** Tests of studies over several machines, with a Redis of their own. */
export default defineConfig({
  test: {
    include: ["test/queue/*.queue.ts"],
    expect: { requireAssertions: true },
    // Each test runs workers of its own; side by side they would take each other's time.
    fileParallelism: false,
    testTimeout: 300_000,
    hookTimeout: 300_000,
  },
});
