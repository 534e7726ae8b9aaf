import { defineConfig } from "vitest/config";

/** Tests that take too long for every run. */
export default defineConfig({
  test: {
    include: ["test/long/*.ts"],
    expect: { requireAssertions: true },
    testTimeout: 1_800_000,
    hookTimeout: 3_600_000,
  },
});
