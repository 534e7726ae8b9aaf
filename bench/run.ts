import { spawnSync } from "node:child_process";

/** Every benchmark in a process of its own, within 1 GiB of heap. Figures compare within one run only. */
const BENCHES: readonly (readonly string[])[] = [
  ["bench/judge.ts"],
  ["bench/solve.ts", "problems/tray-transplanter.json", "60", "300"],
  ["bench/solve.ts", "problems/grading-line-16.json", "60", "100"],
  ["bench/study.ts"],
  ["bench/engine.ts", "--sizes", "S3", "--variants", "plain,variety+caps", "--seconds", "20"],
  ["bench/engine.ts", "--axes", "4,8", "--parts", "100", "--seconds", "20"],
];

console.log(
  `Node ${process.version}, ${process.platform} ${process.arch}; one process each, --max-old-space-size=1024.`,
);
console.log("Ratios hold within one run on one machine; seconds depend on the machine and on what else it does.\n");
for (const bench of BENCHES) {
  const { status } = spawnSync(
    process.execPath,
    ["--max-old-space-size=1024", "--import", "ts-blank-space/register", ...bench],
    {
      stdio: "inherit",
    },
  );
  if (status !== 0) process.exitCode = 1;
  console.log("");
}
