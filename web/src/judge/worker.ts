/**
 * The judge's worker: MicroPython in WebAssembly, running the server's own Python files.
 *
 * Text in, text out, through one Python function. Numbers and objects do not cross the bridge.
 */

import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";
import wasm from "@micropython/micropython-webassembly-pyscript/micropython.wasm?url";
import type { FromWorker, ToWorker } from "../shared/judge-messages";
import { message, Told } from "../shared/said";

const HEAP_BYTES = 16 * 1024 * 1024;
/**
 * The engine looks for garbage at the end of a call once so much was allocated since: by its own
 * 16 kB that was at the end of every call, and took as long as a tap itself. So it is looked for
 * when nobody has asked for a while.
 */
const GARBAGE_BYTES = 4 * 1024 * 1024;
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

interface Judge {
  ask: (text: string) => string;
  collect: () => void;
}

async function start(address: string): Promise<Judge> {
  const [engine, answer] = await Promise.all([
    loadMicroPython({ url: wasm, heapsize: HEAP_BYTES, stdout: () => undefined }),
    fetch(address).catch(() => null),
  ]);
  if (answer?.ok !== true) throw new Told(message("phone-error-no-judge"));
  const { files } = (await answer.json()) as { files: Record<string, string> };
  engine.FS.mkdirTree("/lib");
  const folders = new Set<string>();
  for (const [path, source] of Object.entries(files)) {
    const folder = path.split("/").slice(0, -1).join("/");
    if (folder !== "" && !folders.has(folder)) {
      engine.FS.mkdirTree(`/lib/${folder}`);
      folders.add(folder);
    }
    engine.FS.writeFile(`/lib/${path}`, source);
  }
  engine.runPython(`import gc, sys\ngc.threshold(${GARBAGE_BYTES})`); // code: not shown
  engine.runPython("sys.path.insert(0, '/lib')\nfrom judge import ask"); // code: not shown
  return {
    ask: engine.globals.get("ask") as Judge["ask"],
    collect: () => engine.runPython("gc.collect()"),
  };
}

let ready: Promise<Judge> | null = null;
let quiet: ReturnType<typeof setTimeout> | undefined;

self.onmessage = async ({ data }: MessageEvent<ToWorker>) => {
  if ("start" in data) {
    ready = start(data.start);
    try {
      await ready;
      say({ ready: true });
    } catch (problem) {
      broken(problem);
    }
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
