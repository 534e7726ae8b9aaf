import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { watched } from "../../../../src/study/runs/queue/watchdog.ts";
import { RunnerLost } from "../../../../src/study/runs/runner.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

test("silence is told once, an answer ends it, and too long a silence is the end", async () => {
  let isUp = true;
  const told: string[] = [];
  const ping = async (): Promise<"PONG"> => {
    if (!isUp) throw new Error("closed");
    return "PONG";
  };
  const dog = watched({ ping }, "redis://q", { patience: 30, tell: (message) => told.push(message) });
  const lost = vi.fn<(error: unknown) => void>();
  dog.lost.catch(lost);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(told).toEqual([]);

  isUp = false;
  await vi.advanceTimersByTimeAsync(20_000);
  expect(told).toEqual(["the queue at redis://q does not answer; trying for 30 s"]);
  isUp = true;
  await vi.advanceTimersByTimeAsync(2_000);
  expect(told[1]).toBe("the queue at redis://q answers again");
  expect(lost).not.toHaveBeenCalled();

  isUp = false;
  await vi.advanceTimersByTimeAsync(35_000);
  expect(lost.mock.calls).toEqual([[new RunnerLost("the queue at redis://q has not answered for 30 s")]]);
});

test("a process that stood still itself has missed no answer", async () => {
  const told: string[] = [];
  const dog = watched({ ping: async () => "PONG" }, "redis://q", {
    patience: 3,
    tell: (message) => told.push(message),
  });
  const lost = vi.fn<(error: unknown) => void>();
  dog.lost.catch(lost);
  await vi.advanceTimersByTimeAsync(5_000);
  vi.setSystemTime(Date.now() + 3_600_000);
  await vi.advanceTimersByTimeAsync(5_000);
  dog.stop();
  expect(told).toEqual([]);
  expect(lost).not.toHaveBeenCalled();
});
