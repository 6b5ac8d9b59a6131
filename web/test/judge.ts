/** The real judge, as the phone runs it: the server's own Python files in MicroPython. */

import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";
import type { Ask } from "../src/shared/judge-messages";

const root = fileURLToPath(new URL("../..", import.meta.url));
const PRINT =
  "import json; from bradawl.serving.judge_files import judge_files; print(json.dumps(judge_files()))";

interface Engine {
  FS: { mkdirTree(path: string): void; writeFile(path: string, text: string): void };
  runPython(code: string): void;
  globals: { get(name: string): (text: string) => string };
}

async function start(): Promise<(text: string) => string> {
  const engine = (await loadMicroPython({
    heapsize: 16 * 1024 * 1024,
    stdout: () => undefined,
  })) as unknown as Engine;
  // the files that a phone takes along, as the server makes them
  const printed = execFileSync(`${root}.venv/bin/python`, ["-c", PRINT], { cwd: root });
  const files = JSON.parse(printed.toString()) as Record<string, string>;
  for (const [path, text] of Object.entries(files)) {
    engine.FS.mkdirTree(`/lib/${path.split("/").slice(0, -1).join("/")}`);
    engine.FS.writeFile(`/lib/${path}`, text);
  }
  engine.runPython("import sys\nsys.path.insert(0, '/lib')\nfrom judge import ask");
  return engine.globals.get("ask");
}

let started: Promise<(text: string) => string> | null = null;

export const ask: Ask = async (question) => {
  started ??= start();
  const answer = JSON.parse((await started)(JSON.stringify(question)));
  if (answer.error !== undefined) throw new Error(`${answer.error.code} ${answer.error.about}`);
  return answer;
};
