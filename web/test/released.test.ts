/** What every released app has written, today's app opens and continues. */

import { readdirSync, readFileSync } from "node:fs";
import { beforeEach, expect, test } from "vitest";
import { hashOfEvent } from "../src/store/chain";
import { closeDatabase } from "../src/store/database";
import { append, cellsOf, ownEvents } from "../src/store/log";
import { deviceId, readMeta } from "../src/store/meta";
import { photoBytes, unsentPhotos } from "../src/store/photos";
import { newStore, visit } from "./store";

interface Released {
  version: number;
  stores: Record<
    string,
    {
      keyPath: string | string[] | null;
      indexes: { name: string; keyPath: string | string[] }[];
      rows: unknown[];
      keys: IDBValidKey[];
    }
  >;
}

const folder = new URL("fixtures/", import.meta.url);
const files = readdirSync(folder).filter((name) => /^store-v\d+\.json$/.test(name));

function revive(_key: string, value: unknown): unknown {
  const bytes = (value as { bytes?: unknown } | null)?.bytes;
  if (typeof bytes === "string" && Object.keys(value as object).length === 1) {
    return Uint8Array.from(Buffer.from(bytes, "base64")).buffer;
  }
  return value;
}

/** Make the database as that release made it, with nothing of today's code. */
async function write({ version, stores }: Released): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    const request = indexedDB.open("bradawl", version);
    request.onupgradeneeded = () => {
      for (const [name, { keyPath, indexes, rows, keys }] of Object.entries(stores)) {
        const options = keyPath === null ? {} : { keyPath };
        const store = request.result.createObjectStore(name, options);
        for (const index of indexes) store.createIndex(index.name, index.keyPath);
        for (const [n, row] of rows.entries()) {
          if (keyPath === null) store.put(row, keys[n]);
          else store.put(row);
        }
      }
    };
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
    request.onerror = () => reject(request.error);
  });
}

beforeEach(newStore);

test("there is a fixture of every released schema", () => {
  expect(files).toContain("store-v1.json");
});

for (const file of files) {
  test(`${file} is opened with everything in it, and the log goes on`, async () => {
    await write(JSON.parse(readFileSync(new URL(file, folder), "utf8"), revive) as Released);
    expect(await deviceId()).toBe("d1".repeat(16));
    expect((await readMeta("sync"))?.acknowledged).toBe(1);
    expect((await cellsOf(visit))["items/rust.arches/choice"]?.value).toBe("holed");
    const [photo] = await unsentPhotos();
    expect((await photoBytes(photo?.sha256 ?? ""))?.bytes.byteLength).toBe(20);
    await append([{ visit, put: "items/rust.arches/choice", value: "soft" }]);
    const events = await ownEvents(1);
    expect(events).toHaveLength(4);
    let prev = "";
    for (const event of events) {
      expect(event.prev).toBe(prev);
      prev = await hashOfEvent(event);
    }
    expect(events[3]?.over).toEqual([events[2]?.at]);
    await closeDatabase();
  });
}
