/**
 * Builds the check page's template: scripts, styles and the judge's engine in one HTML file, with
 * places where the server writes what the shop knows (server/bradawl/serving/check_page.py).
 */

import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import preact from "@preact/preset-vite";
import { build, type Plugin } from "vite";

/** Where the server writes: data blocks that no browser runs. */
const BLOCKS = ["shop", "words", "judge", "checklist"] as const;

/**
 * The engine's package made fit for a classic script: from a file on the disk, browsers start no
 * worker that is a module. What it does in Node goes, and its WebAssembly lies in a block of its own.
 */
const classicEngine: Plugin = {
  name: "bradawl-classic-engine",
  enforce: "pre",
  transform(code, id) {
    if (!id.includes("micropython.mjs")) return null;
    return code
      .replaceAll(/await import\("(?:fs|module|path|url)"\)/g, "({})")
      .replaceAll('new URL("micropython.wasm",import.meta.url).href', '""')
      .replaceAll("import.meta.url", '""');
  },
};

interface Built {
  script: string;
  style: string;
}

/** One entry bundled into one classic script. */
async function bundled(root: string, entry: string): Promise<Built> {
  const made = await build({
    configFile: false,
    root,
    logLevel: "warn",
    publicDir: false,
    plugins: [classicEngine, preact()],
    define: { "process.env.NODE_ENV": '"production"' },
    build: {
      write: false,
      minify: true,
      target: ["chrome111", "safari16.4", "firefox115"],
      modulePreload: false,
      lib: { entry: join(root, entry), formats: ["iife"], name: "bradawl", fileName: "bundle" },
      rolldownOptions: { output: { codeSplitting: false } },
    },
  });
  const outputs = [made].flat().flatMap((one) => ("output" in one ? one.output : []));
  const style = outputs.find(({ fileName }) => fileName.endsWith(".css"));
  const script = outputs.find((output) => output.type === "chunk");
  const source = style?.type === "asset" ? String(style.source) : "";
  return { script: script?.type === "chunk" ? script.code : "", style: source };
}

function hashOf(text: string): string {
  return `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
}

function packed(bytes: string | Buffer): string {
  return gzipSync(bytes, { level: 9 }).toString("base64");
}

function block(id: string, content: string): string {
  const type = id === "shop" || id === "words" ? "application/json" : "text/plain";
  return `<script id="${id}" type="${type}">${content}</script>`;
}

/** Writes `check.html`; returns its size in bytes. */
export async function buildCheckPage(root: string, out: string): Promise<number> {
  const [page, worker] = [
    await bundled(root, "src/check/page/main.tsx"),
    await bundled(root, "src/check/worker/engine-worker.ts"),
  ];
  const wasm = createRequire(join(root, "package.json")).resolve(
    "@micropython/micropython-webassembly-pyscript/micropython.wasm",
  );
  // the script ends the element that it stands in, wherever it says so
  const script = page.script.replaceAll("</script", "<\\/script").trim();
  const style = page.style.trim();
  const policy = [
    "default-src 'none'",
    `script-src ${hashOf(script)} 'wasm-unsafe-eval'`,
    `style-src ${hashOf(style)}`,
    "worker-src blob:",
    "connect-src blob:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const html = [
    "<!doctype html>",
    '<html lang="en">',
    "<head>",
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${policy}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    '<meta name="referrer" content="no-referrer">',
    "<title>%%title%%</title>",
    `<style>${style}</style>`,
    "</head>",
    "<body>",
    '<div id="check"><noscript>%%no-script%%</noscript></div>',
    ...BLOCKS.map((id) => block(id, `%%${id}%%`)),
    block("engine-script", packed(worker.script)),
    block("engine", packed(readFileSync(wasm))),
    `<script>${script}</script>`,
    "</body>",
    "</html>",
    "",
  ].join("\n");
  writeFileSync(join(out, "check.html"), html);
  return Buffer.byteLength(html);
}
