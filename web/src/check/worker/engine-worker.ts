/** The judge's worker of the check page: all that it runs comes in its first message. */

import { type Judge, startJudge } from "../../judge/engine";
import type { FromEngine, ToEngine } from "./messages";

declare const self: DedicatedWorkerGlobalScope;

let ready: Promise<Judge> | null = null;

function say(message: FromEngine): void {
  self.postMessage(message);
}

self.onmessage = async ({ data }: MessageEvent<ToEngine>) => {
  try {
    if ("engine" in data) {
      const type = "application/wasm";
      const url = URL.createObjectURL(new Blob([data.engine], { type }));
      ready = startJudge(url, Promise.resolve(data.files));
      await ready;
      return;
    }
    const judge = await ready;
    if (judge === null) throw new Error("asked before it was started");
    say({ id: data.id, text: judge.ask(data.text) });
    judge.collect();
  } catch (problem) {
    say({ broken: String(problem) });
  }
};
