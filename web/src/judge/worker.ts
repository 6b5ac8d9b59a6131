/**
 * The judge's worker: MicroPython in WebAssembly, running the server's own Python files.
 *
 * Text in, text out, through one Python function. Numbers and objects do not cross the bridge.
 */

import wasm from "@micropython/micropython-webassembly-pyscript/micropython.wasm?url";
import type { FromWorker, ToWorker } from "../shared/judge-messages";
import { message, Told } from "../shared/said";
import { type Judge, startJudge } from "./engine";

const QUIET_MS = 300;

declare const self: DedicatedWorkerGlobalScope;

function say(message: FromWorker): void {
  self.postMessage(message);
}

/** What Python or the browser says of a fault stands beside, as it is. */
function broken(problem: unknown): void {
  const fault = message("phone-error-judge", { fault: String(problem) });
  say({ broken: problem instanceof Told ? problem.said : fault });
}

async function filesAt(address: string): Promise<Record<string, string>> {
  const answer = await fetch(address).catch(() => null);
  if (answer?.ok !== true) throw new Told(message("phone-error-no-judge"));
  return ((await answer.json()) as { files: Record<string, string> }).files;
}

let ready: Promise<Judge> | null = null;
let quiet: ReturnType<typeof setTimeout> | undefined;

/** Files that come later. An engine without them answers all else as before. */
async function more(address: string): Promise<void> {
  try {
    const files = await filesAt(address);
    (await ready)?.add(files, "judge.trouble.door");
    say({ more: address, problem: null });
  } catch (problem) {
    const fault = message("phone-error-judge", { fault: String(problem) });
    say({ more: address, problem: problem instanceof Told ? problem.said : fault });
  }
}

self.onmessage = async ({ data }: MessageEvent<ToWorker>) => {
  if ("start" in data) {
    ready = startJudge(wasm, filesAt(data.start));
    try {
      await ready;
      say({ ready: true });
    } catch (problem) {
      broken(problem);
    }
    return;
  }
  if ("more" in data) {
    await more(data.more);
    return;
  }
  try {
    const judge = await ready;
    if (judge === null) throw new Error("asked before it was started");
    clearTimeout(quiet);
    say({ id: data.id, text: judge.ask(data.text) });
    quiet = setTimeout(judge.collect, QUIET_MS);
  } catch (problem) {
    // an engine that raised is not trusted with another question: the page makes a new worker
    broken(problem);
  }
};
