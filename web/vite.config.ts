import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import preact from "@preact/preset-vite";
import { defineConfig } from "vitest/config";
import { afterBuild } from "./tools/after-build.ts";
import { isOfStart } from "./tools/chunks.ts";
import { devServer } from "./tools/dev-server.ts";
import { fonts, fontTakenAlong } from "./tools/fonts.ts";
import { chunkOf, parsedWords, preloadWords } from "./tools/locales.ts";

const root = dirname(fileURLToPath(import.meta.url));
const repository = join(root, "..");
const out = join(repository, "server/bradawl/bundled/web");

export default defineConfig({
  root,
  base: "/app/",
  plugins: [
    preact(),
    parsedWords(),
    preloadWords(),
    fonts(root, repository),
    afterBuild(root, out, fontTakenAlong(repository)),
    devServer(repository),
  ],
  // a busy machine is slow and no less right
  test: { testTimeout: 120_000, setupFiles: "test/words.ts" },
  worker: {
    format: "es",
    rollupOptions: {
      output: {
        entryFileNames: ({ facadeModuleId }) =>
          `assets/${/\/(judge|codes)\//.exec(facadeModuleId ?? "")?.[1] ?? "photo"}-[hash].js`,
      },
    },
  },
  build: {
    outDir: out,
    emptyOutDir: true,
    target: ["chrome111", "safari16.4", "firefox115"],
    // a data: address is not among the sources that the server's content policy allows
    assetsInlineLimit: 0,
    // what comes later is words alone, and the page names those that it needs
    modulePreload: false,
    rolldownOptions: {
      // written beside the bundle (tools/fonts.ts)
      external: /^\/app\/fonts\//,
      output: {
        codeSplitting: {
          groups: [
            { name: chunkOf, test: /\.ftl/ },
            // one file for all that a start needs: torn in two it would pack worse
            {
              name: (id, context) =>
                isOfStart(id, (one) => context.getModuleInfo(one)) ? "app" : null,
            },
            // what comes when it is looked at is one file too, for the same reason; but for the search
            // for a cause and the car's number, which have budgets of their own
            { name: "codes-parts", test: /\/src\/app\/(screens|visit)\/capture\/vin/ },
            // and the hours around the visit: before one goes, and after one has looked
            { name: "before-parts", test: /\/src\/app\/(screens|visit)\/before\// },
            { name: "after-parts", test: /\/src\/app\/(screens|visit)\/after\// },
            {
              name: (id) => (/\/src\/app\/screens\/trouble\//.test(id) ? "trouble" : "more-parts"),
              test: /\/src\/app\/(components|screens|visit|device|text|state)\//,
            },
          ],
        },
      },
    },
  },
  // not the port of `bradawl serve`: the built app's service worker would answer there
  server: { host: "localhost", port: 8480, strictPort: true, fs: { allow: [repository] } },
  // the workers too: a library found late makes the page start over
  optimizeDeps: {
    entries: ["index.html", "src/judge/worker.ts", "src/photo/worker.ts", "src/codes/worker.ts"],
  },
});
