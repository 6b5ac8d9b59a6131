/** What is used of the MicroPython package, which brings no types. */
declare module "@micropython/micropython-webassembly-pyscript/micropython.mjs" {
  export function loadMicroPython(options: {
    url?: string;
    heapsize?: number;
    stdout?: (line: string) => void;
  }): Promise<{
    FS: { mkdirTree(path: string): void; writeFile(path: string, content: string): void };
    globals: { get(name: string): unknown };
    runPython(code: string): void;
  }>;
}
