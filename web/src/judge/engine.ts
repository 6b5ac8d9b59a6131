/** MicroPython in WebAssembly with the judge's Python files: text in, text out. */

import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";

const HEAP_BYTES = 16 * 1024 * 1024;
/**
 * The engine looks for garbage at the end of a call once so much was allocated since: by its own
 * 16 kB that was at the end of every call, and took as long as a tap itself. So it is looked for
 * when nobody has asked for a while.
 */
const GARBAGE_BYTES = 4 * 1024 * 1024;

export interface Judge {
  ask: (text: string) => string;
  collect: () => void;
  /** More files of the judge, and what of them adds to what may be asked. */
  add: (files: Record<string, string>, module: string) => void;
}

/** `url` is the engine's, `files` gives the judge's Python files by path. */
export async function startJudge(
  url: string,
  files: Promise<Record<string, string>>,
): Promise<Judge> {
  const [engine, sources] = await Promise.all([
    loadMicroPython({ url, heapsize: HEAP_BYTES, stdout: () => undefined }),
    files,
  ]);
  engine.FS.mkdirTree("/lib");
  const folders = new Set<string>();
  const write = (written: Record<string, string>) => {
    for (const [path, source] of Object.entries(written)) {
      const folder = path.split("/").slice(0, -1).join("/");
      if (folder !== "" && !folders.has(folder)) {
        engine.FS.mkdirTree(`/lib/${folder}`);
        folders.add(folder);
      }
      engine.FS.writeFile(`/lib/${path}`, source);
    }
  };
  write(sources);
  engine.runPython(`import gc, sys\ngc.threshold(${GARBAGE_BYTES})`); // code: not shown
  engine.runPython("sys.path.insert(0, '/lib')\nfrom judge import ask"); // code: not shown
  return {
    ask: engine.globals.get("ask") as Judge["ask"],
    collect: () => engine.runPython("gc.collect()"),
    add: (more, module) => {
      write(more);
      engine.runPython(`import ${module}`); // code: not shown
    },
  };
}
