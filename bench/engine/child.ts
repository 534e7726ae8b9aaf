import { say } from "./say.ts";
import { type How, solveModelWork, solveOrderWork } from "./solve-work.ts";
import type { Task } from "./task.ts";

/** One task in a process of its own: `bench/engine/child.ts <task as JSON>`; says on standard output what it does. */
const { solver, seconds, work }: Task = JSON.parse(process.argv[2] ?? "");
const end = performance.now() + seconds * 1000;
const how: How = { solver, secondsLeft: () => (end - performance.now()) / 1000 };
const claim = await (work.kind === "model" ? solveModelWork(work, how) : solveOrderWork(work, how));
say({ kind: "found", found: { ...claim, mebibytes: process.resourceUsage().maxRSS / 1024 } });
