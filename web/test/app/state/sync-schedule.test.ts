/** When a page sends, and what it does by itself: pairing on the server's own machine, going on. */

import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Vanished } from "../../../src/app/state/app-state";
import { Page } from "../../../src/app/state/page";
import { StoreVanished } from "../../../src/store/database";
import {
  begin,
  closePages,
  eventually,
  judges,
  newAppPhone,
  newPage,
  scope,
  visitId,
} from "../pages";

let asked: string[] = [];
let status: Record<string, number> = {};
/** What the server answers to a request for pairing. */
let pairing: unknown = { state: "approved" };

const json = (body: unknown, code = 200) => new Response(JSON.stringify(body), { status: code });

beforeEach(() => {
  asked = [];
  status = {};
  pairing = { state: "approved" };
  vi.stubGlobal("navigator", {});
  vi.stubGlobal("fetch", async (path: string) => {
    asked.push(path);
    const code = status[path] ?? 200;
    if (code !== 200) return json({ error: { code: "refused", message: "Refused." } }, code);
    if (path === "/api/v1/pairing") return json(pairing);
    if (path === "/api/v1/sync/pull") return json({ batches: [], more: false, held: {} });
    return json({ device: "", name: "", person: "" });
  });
});
afterEach(async () => {
  await closePages();
  vi.unstubAllGlobals();
});

const countOf = (path: string) => asked.filter((request) => request === path).length;
const UNPAIRED = { "/api/v1/me": 401, "/api/v1/sync/pull": 401, "/api/v1/sync/push": 401 };

describe("a phone that the server does not know", () => {
  test("asks to be paired once by itself, on the server's own machine", async () => {
    const page = await newAppPhone();
    status = UNPAIRED;
    await page.sync.now();
    await page.sync.now();
    await eventually(() => expect(countOf("/api/v1/pairing")).toBe(1));
    expect(page.state.syncState.value.issues[0]?.kind).toBe("pair");
    await page.sync.now();
    expect(countOf("/api/v1/pairing")).toBe(1);
  });

  test("asks nobody anywhere else: a person begins that", async () => {
    await newAppPhone();
    const away = new Page({
      judges: judges(),
      channel: new BroadcastChannel("bradawl-test"),
      hostname: "workshop.example",
    });
    status = UNPAIRED;
    await away.sync.now();
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(countOf("/api/v1/pairing")).toBe(0);
    away.sync.stop();
    away.tabs.close();
    await away.store.close();
  });

  test("keeps the request that a person has to approve, and asks no second one", async () => {
    const page = await newAppPhone();
    status = UNPAIRED;
    pairing = { state: "waiting", code: "1234", words: "a b", secret: "s", seconds_left: 600 };
    await page.sync.now();
    await eventually(async () => expect((await page.facts.read("pairing"))?.code).toBe("1234"));
    // the page was reloaded
    const restarted = newPage();
    await restarted.sync.now();
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(countOf("/api/v1/pairing")).toBe(1);
  });
});

test("what arrives is taken along, told to other tabs and shown where it is open", async () => {
  const page = await newAppPhone();
  await begin(page);
  await page.open.show(visitId);
  const told = vi.spyOn(page.tabs, "tellVisits");
  const taken = vi.spyOn(page.bundles, "takeAlong");
  const refolded = vi.spyOn(page.open, "changed");
  await page.log.append([{ scope, put: "car/make", value: "Tarn" }]);
  const { device } = await page.log.identity.get();
  const [, event] = await page.log.chains.events(device, 1);
  await page.sync.goOnWithout(event?.seq as number);
  expect(taken).toHaveBeenCalledWith([visitId]);
  expect(told).toHaveBeenCalledWith([visitId]);
  expect(refolded).toHaveBeenCalledWith(visitId);
  // the entry was left out, on a chain of another number
  const own = await page.log.identity.get();
  expect(own.device).not.toBe(device);
  const puts = (await page.log.chains.events(own.device, 1)).map(({ put }) => put);
  expect(puts).toEqual(["device/continues", "about/bundle"]);
});

describe("a storage that is gone", () => {
  test("is said with what went along, and what is in memory is recorded again if wanted", async () => {
    const page = await newAppPhone();
    page.sync.watchStorage(new EventTarget() as Window);
    await page.state.setPreferences({ currency: "USD" });
    await page.log.append([{ scope, put: "car/make", value: "Tarn" }]);
    await page.sync.countAnew();
    indexedDB.deleteDatabase("bradawl");
    await expect(page.log.append([{ scope, put: "car/model", value: "Nine" }])).rejects.toThrow(
      "phone-gone-what",
    );
    const lost: Vanished = { entries: 1, photos: 0, here: 1 };
    expect(page.state.vanished.value).toEqual(lost);
    await page.sync.beginAnew(true);
    expect(page.state.vanished.value).toBeNull();
    expect(page.state.alarm.value).toBeNull();
    const cells = await page.log.rows.cellsOf(visitId);
    expect(cells["car/make"]?.value).toBe("Tarn");
    expect((await page.facts.read("preferences"))?.currency).toBe("USD");
  });

  test("is told by its screen alone, whatever else was under way", async () => {
    const page = await newAppPhone();
    const view = new EventTarget();
    page.sync.watchStorage(view as Window);
    const fails = (reason: unknown) => {
      const event = new Event("unhandledrejection", { cancelable: true });
      // resolves to false where the page has taken care of it
      return view.dispatchEvent(Object.assign(event, { reason }));
    };
    expect(fails(new StoreVanished())).toBe(false);
    expect(fails(new Error("anything else"))).toBe(true);
  });

  test("is begun anew without what was in memory, if the person says so", async () => {
    const page = await newAppPhone();
    page.sync.watchStorage(new EventTarget() as Window);
    await page.log.append([{ scope, put: "car/make", value: "Tarn" }]);
    indexedDB.deleteDatabase("bradawl");
    await page.log.append([{ scope, put: "car/model", value: "Nine" }]).catch(() => undefined);
    await page.sync.beginAnew(false);
    expect(await page.log.rows.cellsOf(visitId)).toEqual({});
    expect(page.log.unsentHere()).toBe(0);
  });
});
