import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    expect: { requireAssertions: true },
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
