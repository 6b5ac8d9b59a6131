/** Recordings while they are made: what was stored is all there, in order, whoever comes after. */

import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { keepLeftTakes, keepTake } from "../../src/app/screens/capture/recording/keep-take";
import type { Page } from "../../src/app/state/page";
import { Takes } from "../../src/store/takes";
import { begin, closePages, newAppPhone, newPage, scope, visitId } from "../app/pages";
import { newTab } from "./store";

const TAKE = "b2".repeat(16);
const ROW = { take: TAKE, visit: visitId, kind: "voice" as const, type: "audio/webm" };
const TOLD = { taken: "2026-12-01T10:00:00-06:00", near: { item: "brakes.pads" } };

let page: Page;
beforeEach(async () => {
  page = await newAppPhone();
});
afterEach(closePages);

function bytes(text: string): ArrayBuffer {
  return new TextEncoder().encode(text).buffer as ArrayBuffer;
}

async function record(pieces: string[]): Promise<Takes> {
  const takes = new Takes(page.store);
  await takes.begin({ ...ROW, ...TOLD });
  for (const [number, text] of pieces.entries()) {
    await takes.add({ take: TAKE, number, until_ms: (number + 1) * 1000, bytes: bytes(text) });
  }
  return takes;
}

async function recorded(): Promise<Record<string, unknown>> {
  const events = await page.log.chains.eventsIn(scope);
  return Object.fromEntries(
    events.map(({ put, value }) => [put, JSON.parse(value as string)] as const),
  );
}

test("pieces are joined in the order of their numbers, however many there are", async () => {
  const pieces = Array.from({ length: 300 }, (_, number) => `${number} `);
  const takes = await record(pieces);
  const whole = await takes.whole(TAKE);
  expect(new TextDecoder().decode(whole?.bytes)).toBe(pieces.join(""));
  expect(whole?.length_ms).toBe(300_000);
});

describe("a recording that a page left behind", () => {
  test("is kept with what was stored of it, told once, and nothing is left of it", async () => {
    await begin(page);
    await record(["one", "two"]);
    const asked: string[] = [];
    const request = async (name: string, _options: unknown, work: (lock: object) => unknown) => {
      asked.push(name);
      await work({});
    };
    vi.stubGlobal("navigator", { locks: { request } });
    await keepLeftTakes(newPage());
    vi.unstubAllGlobals();
    expect(asked).toEqual([`bradawl-take-${TAKE}`]);
    const found = await recorded();
    const [put = "", ...rest] = Object.keys(found).filter((path) => path.startsWith("media/"));
    expect(rest).toEqual([]);
    expect(found[put]).toEqual({
      ...{ kind: "voice", caption: "", ...TOLD, length_ms: 2_000, bytes: 6 },
      type: "audio/webm",
    });
    const kept = await page.photos.bytes(put.slice("media/".length));
    expect(new TextDecoder().decode(kept?.bytes)).toBe("onetwo");
    expect(await page.photos.unsent()).toHaveLength(1);
    expect(await new Takes(page.store).left()).toEqual([]);
  });

  test("is left alone while a tab records it: that tab has the lock", async () => {
    await begin(page);
    await record(["one"]);
    const request = (_name: string, _options: unknown, work: (lock: null) => unknown) => work(null);
    vi.stubGlobal("navigator", { locks: { request } });
    await keepLeftTakes(newPage());
    vi.unstubAllGlobals();
    expect(await new Takes(page.store).left()).toEqual([TAKE]);
  });

  test("of which nothing was stored is forgotten", async () => {
    await begin(page);
    await record([]);
    expect(await keepTake(page, TAKE)).toBeNull();
    expect(await new Takes(page.store).left()).toEqual([]);
    expect(Object.keys(await recorded())).not.toContain("media");
  });

  test("that was kept already is the same one again", async () => {
    await begin(page);
    await record(["one"]);
    const first = await keepTake(page, TAKE);
    await record(["one"]); // the page died before it was forgotten
    expect(await keepTake(page, TAKE)).toBe(first);
    expect(await page.photos.unsent()).toHaveLength(1);
  });
});

test("a storage of the version before goes on with all that is in it", async () => {
  await closePages();
  const { IDBFactory } = await import("fake-indexeddb");
  globalThis.indexedDB = new IDBFactory();
  // the stores that version 2 had, as an app before recordings made them
  await new Promise<void>((resolve, reject) => {
    const request = indexedDB.open("bradawl", 2);
    request.onupgradeneeded = () => {
      const database = request.result;
      const events = database.createObjectStore("events", { keyPath: ["device", "seq"] });
      events.createIndex("by_path", ["scope", "put"]);
      for (const [name, keyPath] of [
        ["chains", "device"],
        ["signatures", ["device", "seq"]],
        ["groups", ["scope", "group"]],
        ["dirty", ["scope", "group"]],
        ["visits", "visit"],
        ["assessments", "visit"],
        ["photos", "sha256"],
      ] as const) {
        database.createObjectStore(name, { keyPath: keyPath as string });
      }
      const cards = database.createObjectStore("cards", { keyPath: "sha256" });
      cards.createIndex("by_held", "held");
      cards.createIndex("by_visit", "visit");
      database.createObjectStore("meta").put("theirs", "marker");
    };
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
    request.onerror = () => reject(request.error);
  });
  const tab = newTab();
  expect(await tab.log.facts.read("marker")).toBe("theirs");
  await new Takes(tab.store).begin({ ...ROW, ...TOLD });
  expect(await new Takes(tab.store).left()).toEqual([TAKE]);
  await tab.close();
});
