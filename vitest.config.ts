import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    expect: { requireAssertions: true },
    // Every core: by default one of them is left idle.
    maxWorkers: "100%",
    testTimeout: 300_000,
    hookTimeout: 120_000,
  },
});
