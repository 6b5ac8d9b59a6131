import { createReadStream } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import preact from "@preact/preset-vite";
import { defineConfig, type Plugin } from "vite";
import { parsedWords } from "../tools/locales.ts";

const root = dirname(fileURLToPath(import.meta.url));
const repository = join(root, "../..");

/** The typeface as the app was built with it: without a build the examples stand in other letters. */
const typeface: Plugin = {
  name: "typeface",
  configureServer({ middlewares }) {
    middlewares.use("/app/fonts", ({ url = "" }, response) => {
      const file = join(repository, "server/bradawl/bundled/web/fonts", basename(url));
      createReadStream(file)
        .on("error", () => response.writeHead(404).end())
        .pipe(response);
    });
  },
};

/** The components' named examples as a page of their own; never part of the app. */
export default defineConfig({
  root,
  base: "./",
  plugins: [preact(), parsedWords(), typeface],
  worker: { format: "es" },
  server: { host: "localhost", fs: { allow: [repository] } },
  build: { outDir: join(repository, "build/examples"), emptyOutDir: true },
});
