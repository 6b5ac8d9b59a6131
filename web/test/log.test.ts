import { beforeEach, expect, test } from "vitest";
import type { Cells, LogEvent } from "../src/shared/event";
import { hashOfEvent } from "../src/store/chain";
import { stampTime } from "../src/store/clock";
import { database, type GroupRow, withDatabase } from "../src/store/database";
import {
  append,
  BatchRefused,
  cellsOf,
  eventsOfGroup,
  foldDirty,
  forgetHead,
  held,
  liveStamps,
  ownEvents,
  ownTop,
  receive,
  settle,
  throughOf,
  visitsHere,
} from "../src/store/log";
import { deviceId, readMeta, writeMeta } from "../src/store/meta";
import { batchOf, device2 } from "./batch";
import { newStore, reopened, visit } from "./store";

beforeEach(newStore);

const grade = (value: string) => ({
  visit,
  put: "items/brakes.front-pads/grade",
  value: { grade: value },
});

async function chainHolds(events: LogEvent[]): Promise<void> {
  let prev = "";
  let seq = 0;
  let at = "";
  for (const event of events) {
    seq += 1;
    expect(event.seq).toBe(seq);
    expect(event.prev).toBe(prev);
    expect(event.at > at).toBe(true);
    prev = await hashOfEvent(event);
    at = event.at;
  }
}

test("what was recorded is there after the tab was killed, with its place in the chain", async () => {
  await append([grade("minor")]);
  await reopened();
  await append([grade("major"), { visit, put: "car/make", value: "Tarn" }]);
  await reopened();
  const events = await ownEvents(1);
  expect(events.map((event) => event.put)).toEqual([
    "items/brakes.front-pads/grade",
    "items/brakes.front-pads/grade",
    "car/make",
  ]);
  await chainHolds(events);
  expect((await cellsOf(visit))["items/brakes.front-pads/grade"]?.value).toEqual({
    grade: "major",
  });
});

test("an entry names the stamps that its writer had before it", async () => {
  await append([grade("minor")]);
  await append([grade("major")]);
  const [first, second] = await ownEvents(1);
  expect(first?.over).toEqual([]);
  expect(second?.over).toEqual([first?.at]);
});

test("taps in quick succession each get their own place", async () => {
  await Promise.all(Array.from({ length: 30 }, (_, n) => append([grade(`g${n}`)])));
  const events = await ownEvents(1);
  expect(events).toHaveLength(30);
  await chainHolds(events);
});

test("an entry that another tab wrote meanwhile is continued, not overwritten", async () => {
  await append([grade("minor")]);
  const [first] = await ownEvents(1);
  const other: LogEvent = {
    device: await deviceId(),
    seq: 2,
    prev: await hashOfEvent(first as LogEvent),
    at: `999999999999999-00000-${await deviceId()}`,
    visit,
    put: "car/make",
    value: "Other tab",
    over: [],
  };
  await withDatabase((open) => open.add("events", other));
  await append([grade("major")]);
  await chainHolds(await ownEvents(1));
  expect((await ownEvents(1)).map((event) => event.value)).toEqual([
    { grade: "minor" },
    "Other tab",
    { grade: "major" },
  ]);
});

test("what another tab has folded meanwhile is not overwritten, and the judge is asked", async () => {
  await append([{ visit, put: "car/make", value: "Mine" }]);
  await settle();
  const mine = (await ownEvents(1))[0]?.at as string;
  // the other tab took in and folded another phone's words; this one has not looked since
  await receive(await batchOf([["car/make", "Theirs"]]));
  const theirs = (await eventsOfGroup(visit, "car/make")).find((e) => e.device === device2)?.at;
  const folded = {
    visit,
    group: "car/make",
    cells: { "car/make": { value: "Mine", at: mine, others: [{ value: "Theirs", at: theirs }] } },
    live: { "car/make": [theirs, mine] },
  };
  await withDatabase(async (open) => {
    await open.put("groups", folded as GroupRow);
    await open.clear("dirty");
  });
  await append([{ visit, put: "car/make", value: "Mine, again" }]);
  const [again] = await ownEvents(2);
  // it names what its writer had seen, and nothing else
  expect(again?.over).toEqual([mine]);
  await settle();
  expect(await withDatabase((open) => open.get("groups", [visit, "car/make"]))).toEqual(folded);
  const asked: string[][] = [];
  await foldDirty(visit, async (events) => {
    asked.push(events.map((event) => event.at).sort());
    return {};
  });
  expect(asked).toEqual([[theirs, mine, again?.at].sort()]);
  const row = await withDatabase((open) => open.get("groups", [visit, "car/make"]));
  expect(row?.live["car/make"]).toEqual([theirs, again?.at].sort());
});

test("a tab killed before the rows followed the log loses nothing", async () => {
  await append([grade("minor")]);
  await settle();
  await append([grade("major"), { visit, put: "car/make", value: "Tarn" }]);
  await append([grade("dangerous")]);
  await reopened();
  const shown = await cellsOf(visit);
  expect(shown["items/brakes.front-pads/grade"]?.value).toEqual({ grade: "dangerous" });
  expect(shown["car/make"]?.value).toBe("Tarn");
  const [first] = await visitsHere();
  expect(first?.last).toBe(stampTime((await ownEvents(4))[0]?.at as string));
  await reopened();
  await append([grade("none")]);
  const events = await ownEvents(1);
  await chainHolds(events);
  expect(events[4]?.over).toEqual([events[3]?.at]);
  // once they follow, they say the same
  const late = await cellsOf(visit);
  await settle();
  await reopened();
  expect(await cellsOf(visit)).toEqual(late);
  expect(await withDatabase((open) => open.getAll("dirty"))).toEqual([]);
  expect(await readMeta("settled")).toBe(5);
});

test("the first visit of a phone is there after a tab killed at once", async () => {
  await append([{ visit, put: "about/bundle", value: "0".repeat(64) }]);
  await reopened();
  expect((await visitsHere()).map((row) => row.visit)).toEqual([visit]);
  expect(Object.keys(await cellsOf(visit))).toEqual(["about/bundle"]);
});

test("rows that an older tab has written beside the log are as good as settled", async () => {
  await append([grade("minor")]);
  await settle();
  // the older app wrote both at once and left the mark where it was
  await append([grade("major")]);
  await append([grade("dangerous")]);
  await settle();
  const before = await cellsOf(visit);
  await writeMeta("settled", 1);
  await reopened();
  await settle();
  expect(await cellsOf(visit)).toEqual(before);
  expect(await withDatabase((open) => open.getAll("dirty"))).toEqual([]);
});

test("a group that another tab writes to while it is folded is folded again", async () => {
  await receive(await batchOf([["car/make", "Theirs"]]));
  const fold = async (events: LogEvent[]): Promise<Cells> => {
    if (events.length === 1) {
      const other = { ...(events[0] as LogEvent), device: await deviceId(), over: [] };
      await withDatabase((open) => open.add("events", { ...other, seq: 1, value: "Other tab" }));
    }
    return { "car/make": { value: `of ${events.length}`, at: "x", others: [] } };
  };
  await foldDirty(visit, fold);
  expect((await cellsOf(visit))["car/make"]).toBeUndefined();
  expect(await foldDirty(visit, fold)).toBe(1);
  expect((await cellsOf(visit))["car/make"]?.value).toBe("of 2");
});

test("an entry follows every stamp it stands over, whatever the clock says", async () => {
  const late = `${"8".repeat(15)}-00000-${device2}`;
  await append([grade("minor")]);
  await withDatabase((open) =>
    open.put("groups", { visit, group: "car/make", cells: {}, live: { "car/make": [late] } }),
  );
  await append([{ visit, put: "car/make", value: "Tarn" }]);
  const [event] = await ownEvents(2);
  expect(event?.over).toEqual([late]);
  expect(late < (event?.at as string)).toBe(true);
});

test("a clock set back while the app is open does not disturb the order", async () => {
  await append([grade("minor")], () => 2_000_000_000_000);
  await append([grade("major")], () => 1_000);
  await chainHolds(await ownEvents(1));
});

test("what the record cannot hold is refused with a sentence and nothing is written", async () => {
  expect(() => append([{ visit, put: "car/year", value: 19.5 }])).toThrow(/text that was typed/);
  expect(() => append([{ visit, put: "Car Year", value: 1 }])).toThrow(/not a path/);
  expect(() => append([{ visit, put: "car/make", value: "\ud800" }])).toThrow(/half a character/);
  await expect(append([{ visit, put: "car/make", value: "x".repeat(70_000) }])).rejects.toThrow(
    /too long/,
  );
  expect(await ownEvents(1)).toEqual([]);
  await append([grade("minor")]);
  await chainHolds(await ownEvents(1));
});

test("a batch of another phone is kept whole, and a damaged one not at all", async () => {
  const batch = await batchOf([
    ["car/make", "Tarn"],
    ["car/model", "Nine"],
  ]);
  const damaged = structuredClone(batch);
  if (damaged.events[1]) damaged.events[1].value = "Ten";
  await expect(receive(damaged)).rejects.toThrow(BatchRefused);
  expect(await held()).toEqual({});
  expect(await receive(batch)).toEqual([visit]);
  expect(await receive(batch)).toEqual([]);
  expect(await held()).toEqual({ [device2]: 2 });
  await append([grade("minor")]);
  expect(await held()).toEqual({ [device2]: 2, [await deviceId()]: 1 });
  expect(await ownTop()).toBe(1);
  expect(await throughOf(visit)).toEqual({ [device2]: 2, [await deviceId()]: 1 });
  await expect(receive({ ...batch, from_seq: 9 })).rejects.toThrow(/holds only 2/);
});

test("a value that came unseen is not named by an entry until it was folded and shown", async () => {
  await append([{ visit, put: "car/make", value: "Mine" }]);
  await receive(await batchOf([["car/make", "Theirs"]]));
  await append([{ visit, put: "car/make", value: "Mine, again" }]);
  const mine = await ownEvents(1);
  expect(mine[1]?.over).toEqual([mine[0]?.at]);
  const fold = async (events: LogEvent[]): Promise<Cells> => {
    expect(events).toHaveLength(3);
    return { "car/make": { value: "folded", at: "x", others: [] } };
  };
  expect(await foldDirty(visit, fold)).toBe(1);
  expect(await foldDirty(visit, fold)).toBe(0);
  expect((await cellsOf(visit))["car/make"]?.value).toBe("folded");
  await append([{ visit, put: "car/make", value: "Settled" }]);
  const [theirs] = (await eventsOfGroup(visit, "car/make")).filter((e) => e.device === device2);
  expect((await ownEvents(1))[2]?.over).toEqual([mine[1]?.at, theirs?.at].sort());
});

test("a new stamp is greater than every stamp received", async () => {
  const batch = await batchOf([["car/make", "Tarn"]]);
  const future = `99999999999${"9".repeat(4)}-00000-${device2}`;
  if (batch.events[0]) batch.events[0].at = future;
  const event = { device: device2, seq: 1, prev: "", ...(batch.events[0] as object) } as LogEvent;
  batch.head = await hashOfEvent(event);
  await receive(batch);
  for (const again of [false, true]) {
    if (again) forgetHead();
    const before = (await ownEvents(1)).length;
    await append([grade("minor")]);
    expect((await ownEvents(before + 1))[0]?.at.slice(0, 15) as string).toMatch(
      /^999999999999999$/,
    );
  }
});

test("live stamps are those that no later entry at their path names", () => {
  const at = (n: number) => `${String(n).padStart(15, "0")}-00000-${device2}`;
  expect(
    liveStamps([
      { put: "car/make", at: at(3), over: [at(1)] },
      { put: "car/make", at: at(1), over: [] },
      { put: "car/make", at: at(2), over: [] },
      { put: "car/model", at: at(4), over: [at(2)] },
    ]),
  ).toEqual({ "car/make": [at(2), at(3)], "car/model": [at(4)] });
});

test("another tab with a newer database gets it, and this one is told", async () => {
  const { whenOutdated } = await import("../src/store/database");
  await append([grade("minor")]);
  let told = false;
  whenOutdated(() => {
    told = true;
  });
  await database();
  await new Promise<void>((resolve, reject) => {
    const request = indexedDB.open("bradawl", 99);
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
    request.onerror = () => reject(request.error);
  });
  expect(told).toBe(true);
});
