import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import preact from "@preact/preset-vite";
import { defineConfig } from "vite";
import { parsedWords } from "../tools/locales.ts";

const root = dirname(fileURLToPath(import.meta.url));

/** The components' named examples as a page of their own; never part of the app. */
export default defineConfig({
  root,
  base: "./",
  plugins: [preact(), parsedWords()],
  worker: { format: "es" },
  build: { outDir: join(root, "../../build/examples"), emptyOutDir: true },
});
