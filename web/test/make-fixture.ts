/**
 * Writes what this release's app leaves in a phone's database, for later releases to open:
 * `npx vitest run --config test/make-fixture.config.ts` writes test/fixtures/store-v<version>.json.
 * Done once per released schema, before the schema changes; never written anew afterwards.
 */

import { writeFileSync } from "node:fs";
import { test } from "vitest";
import { withDatabase } from "../src/store/database";
import { append } from "../src/store/log";
import { writeMeta } from "../src/store/meta";
import { keepPhoto } from "../src/store/photos";
import { newStore, visit } from "./store";

test("write the fixture", async () => {
  await newStore();
  await writeMeta("device", "d1".repeat(16));
  await append([{ visit, put: "about/bundle", value: "0".repeat(64) }], () => 1_764_052_703_000);
  await append(
    [
      { visit, put: "car/make", value: "Tarn" },
      { visit, put: "items/rust.arches/choice", value: "holed" },
    ],
    () => 1_764_052_704_000,
  );
  const bytes = new TextEncoder().encode("stands for a picture").buffer as ArrayBuffer;
  await keepPhoto(visit, {
    bytes,
    type: "image/jpeg",
    width: 4,
    height: 3,
    taken: null,
    place: null,
    thumb: null,
  });
  await writeMeta("sync", { acknowledged: 1, answered: 1_764_052_703_500, skew: 0, run: "5e" });
  await withDatabase(async (database) => {
    const stores: Record<string, unknown> = {};
    for (const name of database.objectStoreNames) {
      const store = database.transaction(name).store;
      const indexes = [...store.indexNames].map((index) => ({
        name: index,
        keyPath: (store.index(index as never) as { keyPath: unknown }).keyPath,
      }));
      const rows = await store.getAll();
      const keys = await store.getAllKeys();
      stores[name] = { keyPath: store.keyPath, indexes, rows, keys };
    }
    const text = JSON.stringify({ version: database.version, stores }, (_key, value) =>
      value instanceof ArrayBuffer ? { bytes: Buffer.from(value).toString("base64") } : value,
    );
    const file = new URL(`fixtures/store-v${database.version}.json`, import.meta.url);
    writeFileSync(file, `${text}\n`);
  });
});
