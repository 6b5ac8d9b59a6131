import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import preact from "@preact/preset-vite";
import { defineConfig } from "vite";
import { afterBuild } from "./tools/after-build.ts";

const root = dirname(fileURLToPath(import.meta.url));
const out = join(root, "../server/bradawl/bundled/web");

export default defineConfig({
  root,
  base: "/app/",
  plugins: [preact(), afterBuild(root, out)],
  worker: {
    format: "es",
    rollupOptions: {
      output: {
        entryFileNames: ({ facadeModuleId }) =>
          `assets/${facadeModuleId?.includes("/judge/") ? "judge" : "photo"}-[hash].js`,
      },
    },
  },
  build: {
    outDir: out,
    emptyOutDir: true,
    target: ["chrome111", "safari16.4", "firefox115"],
    // a data: address is not among the sources that the server's content policy allows
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { proxy: { "/api": "http://127.0.0.1:8000" } },
});
