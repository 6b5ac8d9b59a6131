/** A phone that was set back, cleared or damaged mends itself, against the real server's log. */

import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import type { Json, LogEvent } from "../../src/shared/event";
import { newId } from "../../src/store/encoding";
import { askPairing } from "../../src/store/exchange/server-api";
import { Syncer, type SyncState } from "../../src/store/exchange/sync";
import { idOf } from "../../src/store/log/events";
import { seal } from "../../src/store/log/seals";
import { ask } from "../judge";
import { closeTabs, copyOfStorage, newPhone, newTab, setBack, type Tab } from "../store/store";
import * as second from "../store/writer";
import { Writer } from "../store/writer";
import { Browser, RealServer } from "./real-server";

vi.setConfig({ testTimeout: 120_000 });

let server: RealServer;
beforeAll(async () => {
  server = await RealServer.start();
}, 60_000);
afterAll(() => server.end());

let visit = "";
let scope = "";
const put = (path: string, value: Json) => ({ scope, put: path, value });
const phoneAt = (ms: number) => new Writer(ms, scope);

let browser: Browser;
let tab: Tab;
let state: SyncState;
let arrived: string[] = [];

beforeEach(async () => {
  visit = newId();
  scope = `inspection/${visit}`;
  browser = new Browser(server);
  browser.use();
  tab = await newPhone();
  await pair(tab);
});
afterEach(async () => {
  await closeTabs();
  vi.unstubAllGlobals();
});

async function pair(of: Tab): Promise<void> {
  const answer = await askPairing(await of.log.identity.get(), "a phone");
  expect(answer.state).toBe("approved");
}

/** One round of sync. */
async function sync(of: Tab = tab, judge: typeof ask = ask): Promise<SyncState> {
  const listener = {
    tell: (now: SyncState) => {
      state = now;
    },
    arrived: async (visits: string[]) => {
      arrived.push(...visits);
      for (const one of visits) await of.log.rows.foldDirty(one, ask);
    },
    begun: () => undefined,
  };
  arrived = [];
  const syncer = new Syncer(of.log, of.photos, judge, listener, { random: () => 0 });
  await syncer.now();
  syncer.stop();
  return state;
}

async function onServer(): Promise<SyncState> {
  const now = await sync();
  expect(now.issues).toEqual([]);
  expect(now.where).toBe("server");
  return now;
}

/** What the server has of a device, as another phone gets it. */
async function pulled(have: Record<string, [number, string]> = {}) {
  const answer = await browser.fetch("/api/v1/sync/pull", {
    method: "POST",
    body: JSON.stringify({ protocol: 2, have }),
    headers: { "Content-Type": "application/json" },
  });
  return (await answer.json()) as {
    batches: { device: string; events: { put: string; value: string; scope: string }[] }[];
    held: Record<string, number>;
    shop: string[];
  };
}

function shown(text = "null"): Json {
  return JSON.parse(text, (_key, value) =>
    typeof value === "string" ? value.replace(/\p{Surrogate}/gu, "\ufffd") : value,
  );
}

/** A visit's cells as another phone that has everything shows them. */
async function cellsElsewhere() {
  const { batches } = await pulled();
  const events = [];
  for (const batch of batches as unknown as Parameters<typeof second.eventsOf>[0][]) {
    events.push(...second.eventsOf(batch).filter((event) => event.scope === scope));
  }
  const judged = events.map((event) => ({ ...event, value: shown(event.value) }));
  return (await ask({ ask: "fold", events: judged })).cells;
}

async function chainHolds(events: LogEvent[]): Promise<void> {
  let prev = "";
  for (const [index, event] of events.entries()) {
    expect([event.seq, event.prev]).toEqual([index + 1, prev]);
    prev = second.hashOf(event);
  }
}

const signing = {
  name: "Ada Example",
  at: { date: "2026-11-25", time: "09:31", zone: "+00:00" },
  strokes: [[1, 2, 3]],
  box: [300, 120] as [number, number],
  open: { unchecked: 0, disputed: 0, unsorted: 0 },
  declaration: { message: "seal-declaration" as const, language: "en-US" },
  inputs: { checklist: "c".repeat(64), judge: "d".repeat(64) },
};

/** Whether a seal's signature is its key's, and its leaves are those of the events it covers. */
async function sealHolds(event: LogEvent, events: LogEvent[]): Promise<void> {
  const value = JSON.parse(event.value as string) as { [key: string]: Json };
  const { signature, ...rest } = value as { signature: string } & typeof value;
  const text = `bradawl-seal-2\n${event.device}\n${scope}\n${second.sha256Hex(second.canonical(rest))}`;
  expect(second.deviceOf(value.key as string)).toBe(event.device);
  expect(second.isSignedBy(value.key as string, text, signature)).toBe(true);
  const through = value.through as Record<string, number>;
  const covered = events.filter(({ device, seq }) => seq <= (through[device] ?? 0));
  expect(value.leaves).toBe(second.leavesHash(covered));
}

describe("the first exchanges", () => {
  test("own entries go signed, and the same head is heard of a second time", async () => {
    await tab.log.append([put("car/make", "Tarn"), put("car/model", "Nine \ud800")]);
    await onServer();
    const device = await tab.device();
    expect((await pulled()).held[device]).toBe(2);
    expect((await tab.log.facts.sync()).server_ms).toBeGreaterThan(0);
    await onServer();
    expect(await tab.log.chains.tops()).toMatchObject({ [device]: 2 });
  });

  test("a phone learns everything of another one, and both show the same", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const [first, cells] = [await tab.ownEvents(), await tab.log.rows.cellsOf(visit)];
    browser = new Browser(server);
    browser.use();
    tab = await newPhone();
    await pair(tab);
    await onServer();
    expect(arrived).toContain(visit);
    const device = (first[0] as LogEvent).device;
    expect(await tab.log.chains.events(device, 1)).toEqual(first);
    expect((await tab.log.rows.cellsOf(visit))["car/make"]).toMatchObject(cells["car/make"] ?? {});
  });
});

describe("this phone was set back", () => {
  test("a copy that writes first goes on under a new number, and nothing is lost", async () => {
    await tab.log.append([put("car/make", "Tarn"), put("items/rust.sills/note", "soft")]);
    await onServer();
    const copy = await copyOfStorage();
    await tab.log.append([put("items/rust.sills/note", "soft, patched")]);
    await tab.log.append([put("items/brakes.hoses/note", "of the first life")]);
    await onServer();
    const old = await tab.device();

    tab = await setBack(copy);
    expect(await tab.device()).toBe(old);
    await tab.log.append([put("items/rust.sills/note", "soft, holed")]);
    await tab.log.append([put("items/rust.sills/note", "soft, holed twice")]);
    await seal(tab.log, visit, signing, ask);
    await tab.log.append([put("car/colour", "green")]);
    await onServer();

    const device = await tab.device();
    expect(device).not.toBe(old);
    const own = await tab.ownEvents();
    await chainHolds(own);
    const begin = JSON.parse(own[0]?.value as string);
    expect([own[0]?.scope, own[0]?.put]).toEqual(["shop", "device/continues"]);
    const shared = (await tab.log.chains.events(old, 2, 1))[0] as LogEvent;
    expect(begin).toEqual({ device: old, seq: 2, head: second.hashOf(shared), why: "forked" });
    // the later one names the earlier by what it is now called
    expect(own[2]?.over).toEqual([idOf(own[1] as LogEvent)]);
    // both lives are on the server and here, and the same is shown
    expect((await pulled()).held).toMatchObject({ [old]: 4, [device]: 5 });
    expect((await tab.log.chains.row(old))?.seq).toBe(4);
    const cells = await tab.log.rows.cellsOf(visit);
    expect(cells["items/brakes.hoses/note"]?.value).toBe("of the first life");
    expect(cells["car/colour"]?.value).toBe("green");
    const note = cells["items/rust.sills/note"];
    const both = [note?.value, ...(note?.others ?? []).map(({ value }) => value)];
    expect(both.sort()).toEqual(["soft, holed twice", "soft, patched"]);
    expect(cells).toEqual(await cellsElsewhere());
    // the seal covers what it covered, under the new numbers
    const events = await tab.log.chains.eventsIn(scope);
    const sealed = own.find((event) => event.put === "seal/1") as LogEvent;
    expect(JSON.parse(sealed.value as string).through).toEqual({ [old]: 2, [device]: 3 });
    await sealHolds(sealed, events);
    // and it stays as it is
    await onServer();
    expect(await tab.device()).toBe(device);
    expect(tab.log.unsentHere()).toBe(0);
  });

  test("an entry of another tab, while the new chain is being prepared, comes along", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const copy = await copyOfStorage();
    await tab.log.append([put("car/model", "Nine")]);
    await onServer();
    tab = await setBack(copy);
    await tab.log.append([put("car/model", "Ten")]);
    await seal(tab.log, visit, signing, ask);
    const other = newTab();
    await other.log.ready();
    let asked = 0;
    const interrupted: typeof ask = async (question) => {
      if (question.ask === "leaves") {
        asked += 1;
        if (asked === 1) await other.log.append([put("car/vin", "1")]);
      }
      return ask(question);
    };
    await sync(tab, interrupted);
    await onServer();
    expect(asked).toBeGreaterThan(1);
    const own = await tab.ownEvents();
    await chainHolds(own);
    expect(own.map((event) => event.put)).toEqual([
      "device/continues",
      "car/model",
      "seal/1",
      "car/vin",
    ]);
  });

  test("a copy that has nothing new fetches what it wrote since", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const copy = await copyOfStorage();
    await tab.log.append([put("car/model", "Nine")]);
    await onServer();
    const old = await tab.device();
    tab = await setBack(copy);
    await onServer();
    expect(await tab.device()).toBe(old);
    expect((await tab.log.rows.cellsOf(visit))["car/model"]?.value).toBe("Nine");
    await tab.log.append([put("car/colour", "green")]);
    await onServer();
    await chainHolds(await tab.ownEvents());
  });

  test("an entry of another tab, while those of before come back, is not written over", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const copy = await copyOfStorage();
    await tab.log.append([put("car/model", "Nine")]);
    await onServer();
    tab = await setBack(copy);
    const other = newTab();
    await other.log.ready();
    const bestKnown = tab.log.facts.bestKnown.bind(tab.log.facts);
    const between = vi.spyOn(tab.log.facts, "bestKnown").mockImplementationOnce(async (wall_ms) => {
      await other.log.append([put("car/colour", "green")]); // under the number of what comes back
      return bestKnown(wall_ms);
    });
    await sync();
    expect(between).toHaveBeenCalled();
    await onServer();
    const cells = await tab.log.rows.cellsOf(visit);
    expect(cells["car/colour"]?.value).toBe("green");
    expect(cells["car/model"]?.value).toBe("Nine");
    expect(cells).toEqual(await cellsElsewhere());
    await chainHolds(await tab.ownEvents());
  });

  test("a tab that has not heard of the new chain loses nothing either", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const copy = await copyOfStorage();
    await tab.log.append([put("car/model", "Nine")]);
    await onServer();
    tab = await setBack(copy);
    await tab.log.append([put("car/model", "Ten")]);
    const stale = newTab();
    await stale.log.append([put("car/colour", "red")]);
    await onServer();
    const device = await tab.device();
    // this tab still writes where it wrote
    await stale.log.append([put("car/vin", "1")]);
    await onServer();
    const own = await tab.ownEvents();
    await chainHolds(own);
    expect(own.map((event) => event.put)).toContain("car/vin");
    expect((await pulled()).held[device]).toBe(own.length);
    // once its rows have followed, it knows
    await stale.log.rows.settle();
    await stale.log.append([put("car/year", 1994)]);
    expect((await stale.ownEvents()).at(-1)?.device).toBe(device);
    await chainHolds(await tab.ownEvents());
  });
});

describe("this phone was cleared", () => {
  test("the server's cookie still names the old device: the new one goes on from it", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const old = await tab.device();
    tab = await newPhone();
    await tab.log.append([put("car/colour", "green")]);
    await onServer();
    const own = await tab.ownEvents();
    await chainHolds(own);
    const [last] = await tab.log.chains.events(old, 1);
    expect(JSON.parse(own[0]?.value as string)).toEqual({
      device: old,
      seq: 1,
      head: second.hashOf(last as LogEvent),
      why: "lost",
    });
    expect(own.map((event) => event.put)).toEqual(["device/continues", "car/colour"]);
    const cells = await tab.log.rows.cellsOf(visit);
    expect([cells["car/make"]?.value, cells["car/colour"]?.value]).toEqual(["Tarn", "green"]);
    expect(await tab.log.facts.read("lost")).toBe(old);
    const device = await tab.device();
    expect((await pulled()).held).toMatchObject({ [old]: 1, [device]: 2 });
    // it says so once
    const again = newTab();
    await sync(again);
    expect(await again.device()).toBe(device);
  });

  test("a new phone that is paired as itself goes on from nobody", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    expect((await tab.ownEvents()).map((event) => event.put)).toEqual(["car/make"]);
    expect((await tab.log.identity.get()).origin).toBe("new");
  });
});

describe("events are missing in the middle", () => {
  async function tear(device: string, seq: number): Promise<void> {
    await tab.store.transact(["events"], (tx) => {
      void tx.objectStore("events").delete([device, seq]);
    });
    await tab.close();
    tab = newTab();
  }

  test("own ones that the server has are fetched again", async () => {
    for (const n of [1, 2, 3, 4]) await tab.log.append([put("car/make", `make ${n}`)]);
    await onServer();
    await tab.log.append([put("car/make", "unsent")]);
    const [device, before] = [await tab.device(), await tab.ownEvents()];
    await tear(device, 2);
    await onServer();
    expect(await tab.ownEvents()).toEqual(before);
    expect(await tab.device()).toBe(device);
  });

  test("own ones that nobody has: a new chain goes on with what there is", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    for (const n of [1, 2, 3]) await tab.log.append([put("car/model", `model ${n}`)]);
    const old = await tab.device();
    await tear(old, 3);
    await onServer();
    const own = await tab.ownEvents();
    await chainHolds(own);
    expect(await tab.device()).not.toBe(old);
    expect(JSON.parse(own[0]?.value as string)).toMatchObject({ device: old, seq: 1, why: "lost" });
    expect(own.slice(1).map((event) => JSON.parse(event.value as string))).toEqual([
      "model 1",
      "model 3",
    ]);
  });

  test("an own entry that was damaged is written anew, and so is what follows", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    for (const n of [1, 2, 3]) await tab.log.append([put("car/model", `model ${n}`)]);
    const old = await tab.device();
    await tab.store.transact(["events"], async (tx) => {
      const event = (await tx.objectStore("events").get([old, 3])) as LogEvent;
      void tx.objectStore("events").put({ ...event, value: '"model two"' });
    });
    await tab.close();
    tab = newTab();
    await onServer();
    const own = await tab.ownEvents();
    await chainHolds(own);
    expect(own.slice(1).map((event) => JSON.parse(event.value as string))).toEqual([
      "model 1",
      "model two",
      "model 3",
    ]);
    expect((await tab.log.rows.cellsOf(visit))["car/model"]?.value).toBe("model 3");
  });

  test("those of another device are fetched again", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    for (const n of [1, 2, 3, 4]) phone.put("car/make", `make ${n}`);
    await push(phone.batch());
    await onServer();
    await tear(phone.device, 1);
    await tear(phone.device, 3);
    await onServer();
    expect(await tab.log.chains.events(phone.device, 1)).toEqual(phone.events);
    expect((await tab.log.chains.row(phone.device))?.hole).toBeUndefined();
  });

  test("the last of another device are fetched again", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    for (const n of [1, 2, 3, 4]) phone.put("car/make", `make ${n}`);
    await push(phone.batch());
    await onServer();
    await tear(phone.device, 4);
    await onServer();
    expect(await tab.log.chains.events(phone.device, 1)).toEqual(phone.events);
  });
});

async function push(batch: unknown): Promise<Response> {
  const answer = await browser.fetch("/api/v1/sync/push", {
    method: "POST",
    body: JSON.stringify(batch),
    headers: { "Content-Type": "application/json" },
  });
  expect(answer.status, await answer.clone().text()).toBe(200);
  return answer;
}

describe("the server was set back", () => {
  test("it is brought what it lost, of any device", async () => {
    await server.keep("before");
    const phone = phoneAt(Date.now() - 10_000);
    phone.put("car/make", "Tarn");
    phone.put("car/model", "Nine");
    await push(phone.batch());
    await tab.log.append([put("car/colour", "green")]);
    await onServer();
    phone.put("car/vin", "1");
    await push(phone.batch(3));
    await onServer();
    await server.putBack("before");
    await onServer();
    const { held } = await pulled();
    expect(held).toMatchObject({ [phone.device]: 3, [await tab.device()]: 1 });
  });

  test("what nobody has is missing; what follows it on this phone is kept by the server aside", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    phone.put("car/make", "Tarn");
    await push(phone.batch());
    await server.keep("the first of it");
    phone.put("car/model", "Nine");
    phone.put("car/vin", "1");
    phone.put("car/colour", "green");
    await push(phone.batch(2));
    await onServer();
    await tab.store.run((database) => database.delete("events", [phone.device, 2]));
    await server.putBack("the first of it");
    await tab.close();
    tab = newTab();
    await sync();
    await onServer();
    expect(browser.asked).toContain("POST sync/aside");
    const cells = await tab.log.rows.cellsOf(visit);
    expect([cells["car/vin"]?.value, cells["car/colour"]?.value]).toEqual(["1", "green"]);
    expect((await cellsElsewhere())["car/vin"]?.value).toBe("1");
    expect((await tab.log.chains.row(phone.device))?.hole).toBeUndefined();
  });

  test.each([
    ["the end of a chain, and the signature over it, are missing", [3, 4]],
    ["the middle is missing", [2]],
    ["all but the middle is missing", [1, 4]],
  ])("what this phone alone still has comes to the server: %s", async (_, missing) => {
    await server.keep("nothing of it");
    const phone = phoneAt(Date.now() - 10_000);
    const wild = ["Tarn", "Nine \ud800", "1", "green"];
    const paths = ["car/make", "car/model", "car/vin", "seal/1"];
    for (const [index, path] of paths.entries()) phone.put(path, wild[index] as string);
    await push(phone.batch());
    await onServer();
    await tab.store.run(async (database) => {
      for (const seq of missing) await database.delete("events", [phone.device, seq]);
    });
    await server.putBack("nothing of it");
    await tab.close();
    tab = newTab();
    await onServer();
    await onServer();
    // written anew as it was, seals too: an entry is known by its commitment
    const kept = phone.events.filter(({ seq }) => !missing.includes(seq));
    const here = await tab.log.chains.eventsIn(scope);
    expect(here.map(({ put, commit }) => [put, commit]).sort()).toEqual(
      kept.map(({ put, commit }) => [put, commit]).sort(),
    );
    const elsewhere = await cellsElsewhere();
    expect(Object.keys(elsewhere).sort()).toEqual(kept.map(({ put }) => put).sort());
    expect(await tab.log.rows.cellsOf(visit)).toMatchObject(elsewhere);
    // the chain that has it says where it comes from, and nothing is brought twice
    const devices = [...new Set(here.map(({ device }) => device))];
    expect(devices).not.toContain(phone.device);
    for (const device of devices) {
      await chainHolds(await tab.log.chains.events(device, 1));
      const [begin] = await tab.log.chains.events(device, 1, 1);
      expect(JSON.parse(begin?.value as string).device).toBe(phone.device);
    }
    const asked = browser.asked.length;
    await onServer();
    expect(browser.asked.slice(asked)).toEqual(["POST sync/pull"]);
    // whoever has the whole chain doubles nothing
    await push(phone.batch());
    await onServer();
    for (const cell of Object.values(await tab.log.rows.cellsOf(visit))) {
      expect(cell.others).toEqual([]);
    }
  });

  test("a signature over what is lost is not taken for one over another life's entry", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    phone.put("car/make", "Tarn");
    await push(phone.batch());
    await server.keep("what both lives share");
    const copy = phone.copy();
    phone.put("car/model", "of the first life");
    await push(phone.batch(2));
    await onServer();
    await tab.store.run((database) => database.delete("events", [phone.device, 2]));
    await tab.close();
    await server.putBack("what both lives share");
    tab = newTab();
    copy.put("car/model", "of the second life");
    copy.put("car/vin", "1");
    await push(copy.batch(2));
    await onServer();
    expect(await tab.log.chains.events(phone.device, 1)).toEqual(copy.events);
    for (const { seq, signature } of await tab.log.chains.signatures(phone.device, 0)) {
      const head = second.hashOf(copy.events[seq - 1] as LogEvent);
      const text = `bradawl-head-2\n${phone.device}\n${seq}\n${head}`;
      expect(second.isSignedBy(phone.key, text, signature), `over ${seq}`).toBe(true);
    }
    // what it has of that device now, it can bring
    await server.putBack("what both lives share");
    await onServer();
    expect((await pulled()).held[phone.device]).toBe(3);
  });

  test("two lives of another device met: this phone's copy is kept aside and the server's fetched", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    phone.put("car/make", "Tarn");
    await push(phone.batch());
    await server.keep("first");
    const copy = phone.copy();
    phone.put("car/model", "of the first life");
    phone.put("car/vin", "1");
    await push(phone.batch(2));
    await onServer();
    await server.putBack("first");
    copy.put("car/model", "of the second life");
    await push(copy.batch(2));
    await onServer();
    expect(browser.asked).toContain("POST sync/aside");
    // what the server has of it comes with the next exchange, which follows at once
    await onServer();
    expect(await tab.log.chains.events(phone.device, 1)).toEqual(copy.events);
    const cell = (await tab.log.rows.cellsOf(visit))["car/model"];
    const both = [cell?.value, ...(cell?.others ?? []).map(({ value }) => value)];
    expect(both.sort()).toEqual(["of the first life", "of the second life"]);
    const asked = browser.asked.length;
    await onServer();
    expect(browser.asked.slice(asked)).not.toContain("POST sync/aside");
  });
});

describe("the shop's orders", () => {
  test("what is erased goes from here with everything made of it; fences and clocks are folded", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    const bytes = new TextEncoder().encode("a number plate").buffer as ArrayBuffer;
    const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
    const { sha256 } = await tab.photos.keep(visit, { bytes, type: "image/jpeg", ...size });
    await tab.photos.markHeld([sha256]);
    const seller = phone.put("about/seller/name", "Tilda Wexalby");
    const plate = phone.put(`items/papers.plate/photos/${sha256}`, { caption: "plate" });
    phone.put("car/make", "Tarn");
    const wild = phone.put("car/colour", "red");
    await push(phone.batch());
    await tab.log.append([put("car/model", "Nine")]);
    await onServer();
    await tab.store.transact(["assessments"], (tx) => {
      const row = { visit, bundle: "", today: "", assessment: {} as never };
      void tx.objectStore("assessments").put(row);
    });
    expect((await tab.log.rows.cellsOf(visit))["car/colour"]?.value).toBe("red");
    const order = (event: LogEvent) =>
      `("shop", "erase/${event.device}/${event.seq}", {"put": "${event.put}", "commit": "${event.commit}"})`;
    await server.within(
      [
        "from bradawl.log.chains.own_chains import SERVER",
        `log.append_in(SERVER, [${order(seller)}, ${order(plate)}, ("shop", "fence/${phone.device}/${wild.seq}", {"to_seq": None, "why": "a stranger's"})])`,
      ].join("\n"),
    );
    await onServer();
    expect(arrived).toContain(visit);
    const [first, second_] = await tab.log.chains.events(phone.device, 1);
    expect([first?.value, first?.salt, second_?.value]).toEqual([undefined, undefined, undefined]);
    expect(await tab.photos.bytes(sha256)).toBeNull();
    const kept = await tab.store.run((database) => database.getAll("assessments"));
    expect(kept).toEqual([]);
    const cells = await tab.log.rows.cellsOf(visit);
    expect(cells["about/seller/name"]?.value).toBeNull();
    expect(cells["car/make"]?.value).toBe("Tarn");
    expect(cells["car/colour"]).toBeUndefined();
    const everything = JSON.stringify([...(await copyOfStorage()).entries()]);
    expect(everything).not.toContain("Wexalby");
    // the chain still verifies, for whoever gets it from this phone
    const { batchOf } = await import("../../src/store/log/chains");
    const { readBatch } = await import("../../src/store/log/events");
    const events = await tab.log.chains.events(phone.device, 1);
    await readBatch(await batchOf(phone.key, events, phone.batch().signature));
    // a fence that is lifted brings back what it fenced
    await server.within(
      [
        "from bradawl.log.chains.own_chains import SERVER",
        `log.append_in(SERVER, [("shop", "fence/${phone.device}/${wild.seq}", None)])`,
      ].join("\n"),
    );
    await onServer();
    expect((await tab.log.rows.cellsOf(visit))["car/colour"]?.value).toBe("red");
  });

  test("a stamp years ahead ranks by when it came, on the phone too", async () => {
    const phone = phoneAt(Date.now() + 10 * 365 * 86_400_000);
    phone.put("car/make", "from the future");
    await push(phone.batch());
    await new Promise((resolve) => setTimeout(resolve, 5));
    await tab.log.append([put("car/make", "Tarn")]);
    await onServer();
    const cell = (await tab.log.rows.cellsOf(visit))["car/make"];
    expect(cell?.value).toBe("Tarn");
    expect(cell?.others.map(({ value }) => value)).toEqual(["from the future"]);
  });

  test("orders of anybody but the shop are not obeyed", async () => {
    const phone = phoneAt(Date.now() - 10_000);
    const seller = phone.put("about/seller/name", "Tilda Wexalby");
    const value = { put: seller.put, commit: seller.commit };
    phone.put(`erase/${phone.device}/1`, value, [], "shop");
    await push(phone.batch());
    await onServer();
    expect((await tab.log.rows.cellsOf(visit))["about/seller/name"]?.value).toBe("Tilda Wexalby");
  });
});

describe("what the server will not have", () => {
  const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
  async function keep(
    text: string,
    type: "image/jpeg" | "image/png" = "image/jpeg",
  ): Promise<string> {
    const bytes = new TextEncoder().encode(text).buffer as ArrayBuffer;
    return (await tab.photos.keep(visit, { bytes, type, ...size })).sha256;
  }
  const PIXEL = Buffer.from(
    "iVBORw0KGgoAAAANSUhEUgAAAAMAAAADCAIAAADZSiLoAAAAEElEQVR4nGP8zwAFTAyYLAAdWwEFNX6VDAAAAABJRU5ErkJggg==",
    "base64",
  );

  test("one entry is named with its number, and left out it keeps nothing back", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    const own = await tab.log.identity.get();
    // an entry as only a damaged app could have written it
    const { written } = await import("../../src/store/log/events");
    const [first] = await tab.ownEvents();
    const at = `${String(Date.now()).padStart(15, "0")}-00001-${own.device}`;
    const place = { device: own.device, seq: 2, prev: second.hashOf(first as LogEvent), at };
    const bad = await written({ ...place, scope, put: "Car/Make", over: [] }, '"x"');
    await tab.store.run((database) => database.put("events", bad));
    await tab.close();
    tab = newTab();
    await tab.log.append([put("car/model", "Nine")]);
    const pixel = { bytes: Uint8Array.from(PIXEL).buffer, type: "image/png", ...size } as const;
    await tab.photos.keep(visit, pixel);
    const now = await sync();
    expect(now.issues).toHaveLength(1);
    expect(now.issues[0]).toMatchObject({ kind: "entry", seq: 2 });
    expect(now.issues[0]?.said).toContain("path can have");
    // photos went all the same
    expect(now.unsentPhotos).toBe(0);
    const { leaveOut } = await import("../../src/store/exchange/leave-out");
    await leaveOut(tab.log, ask, 2);
    await onServer();
    const puts = (await tab.ownEvents()).map((event) => event.put);
    expect(puts).toEqual(["device/continues", "car/make", "car/model"]);
  });

  test("one refused photo is remembered with its sentence, keeps back no other, and can be dropped", async () => {
    const refused = await keep("no photo at all");
    const bytes = Uint8Array.from(PIXEL).buffer;
    await tab.photos.keep(visit, { bytes, type: "image/png", ...size });
    const now = await sync();
    expect(now.issues.map(({ kind }) => kind)).toEqual(["photo"]);
    expect([now.unsentPhotos, now.refusedPhotos]).toEqual([1, 1]);
    expect(now.where).toBe("phone");
    const [card] = await tab.photos.unsent();
    expect(card).toMatchObject({ sha256: refused, visit });
    expect(card?.refused).toMatch(/\.$/);
    // it is not sent again and again, and it is not forgotten either
    const asked = browser.asked.length;
    const again = await sync();
    expect(browser.asked.slice(asked).some((one) => one.startsWith("PUT"))).toBe(false);
    expect(again.issues.map(({ kind }) => kind)).toEqual(["photo"]);
    await tab.photos.drop(refused);
    await onServer();
  });

  test("a server started anew is asked once more about a photo it would not have", async () => {
    const name = await keep("no photo at all, again");
    await sync();
    await server.kill();
    await server.go();
    const asked = browser.asked.length;
    await sync();
    expect(browser.asked.slice(asked)).toContain(`PUT blobs/${name}`);
  });

  test("a phone that is not paired keeps everything and says so", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    const { cookie } = browser;
    browser.cookie = "";
    const now = await sync();
    expect(now.issues.map(({ kind }) => kind)).toEqual(["pair"]);
    expect(now.unsentEvents).toBe(1);
    browser.cookie = cookie;
    await onServer();
  });
});

describe("signing", () => {
  test("two tabs that sign at once make two signatures, each over its own", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    const other = newTab();
    await Promise.all([
      seal(tab.log, visit, signing, ask),
      seal(other.log, visit, { ...signing, name: "Bo Example" }, ask),
    ]);
    const events = await tab.log.chains.eventsIn(scope);
    const seals = events.filter((event) => event.put.startsWith("seal/"));
    expect(seals.map((event) => [event.put, event.over])).toEqual([
      ["seal/1", []],
      ["seal/2", []],
    ]);
    const names = seals.map((event) => JSON.parse(event.value as string).name);
    expect(names.sort()).toEqual(["Ada Example", "Bo Example"]);
    for (const event of seals) await sealHolds(event, events);
    await onServer();
  });

  test("a second signature stands beside the first, taken back or not", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await seal(tab.log, visit, signing, ask);
    await tab.log.append([put("seal/1", null)]);
    await seal(tab.log, visit, signing, ask);
    await seal(tab.log, visit, signing, ask);
    const puts = (await tab.ownEvents()).map((event) => event.put);
    expect(puts).toEqual(["car/make", "seal/1", "seal/1", "seal/2", "seal/3"]);
  });

  test("a seal names its inputs and the server's last answer, and no place", async () => {
    await tab.log.append([put("car/make", "Tarn")]);
    await seal(tab.log, visit, signing, ask);
    await onServer();
    await seal(tab.log, visit, signing, ask);
    const [first, later] = (await tab.ownEvents())
      .filter((event) => event.put.startsWith("seal/"))
      .map((event) => JSON.parse(event.value as string));
    const { run, server_ms } = await tab.log.facts.sync();
    expect(first.receipt).toBeNull();
    expect(later.receipt).toEqual({ run, server_ms });
    expect(later.inputs).toEqual(signing.inputs);
    expect(Object.keys(later).sort()).toEqual(
      "at box declaration inputs key leaves name open photos receipt signature strokes through".split(
        " ",
      ),
    );
  });
});
