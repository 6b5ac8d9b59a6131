/** A judge whose worker never starts: the person is told why, and nothing else breaks. */

import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { JudgeWorkers } from "../../../src/app/device/judge-workers";

// the address of a script is the build's, which no test has
vi.mock("../../../src/app/device/trusted-types", () => ({
  scriptAddress: (address: string) => address,
}));

/** What the browser tells of a worker: HTML standard, "run a worker" and "report an exception". */
let fail: Event;

class FailingWorker {
  onerror: ((event: Event) => void) | null = null;
  terminate = vi.fn();

  postMessage(): void {
    this.onerror?.(fail);
  }
}

beforeEach(() => {
  vi.stubGlobal("Worker", FailingWorker);
  vi.stubGlobal("fetch", async () => Response.json({ judge: "/api/v1/judge/0.json" }));
});
afterEach(() => vi.unstubAllGlobals());

test("a worker whose script cannot be fetched says nothing: the person reads what to do", async () => {
  fail = new Event("error");
  const judges = new JudgeWorkers();
  await expect(judges.forTaps.start()).rejects.toThrow("phone-error-no-judge");
  expect(judges.problem.value).toEqual({ id: "phone-error-no-judge" });
});

test("a worker that raised is told of in the browser's words", async () => {
  fail = Object.assign(new Event("error"), { message: "out of memory" });
  const judges = new JudgeWorkers();
  await expect(judges.forTaps.start()).rejects.toThrow("phone-error-judge");
  expect(judges.problem.value).toEqual({
    id: "phone-error-judge",
    args: { fault: "out of memory" },
  });
});
