import { beforeEach, expect, test } from "vitest";
import type { Cells, LogEvent } from "../src/shared/event";
import { hashOfEvent } from "../src/store/chain";
import { database, withDatabase } from "../src/store/database";
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
  throughOf,
} from "../src/store/log";
import { deviceId } from "../src/store/meta";
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

test("what another tab has folded meanwhile is named, not overwritten", async () => {
  await append([{ visit, put: "car/make", value: "Mine" }]);
  // the other tab took in and folded another phone's words; this one has not looked since
  const theirs = `00000000000${String(5000)}-00000-${device2}`;
  const mine = (await ownEvents(1))[0]?.at as string;
  await withDatabase((open) =>
    open.put("groups", {
      visit,
      group: "car/make",
      cells: { "car/make": { value: "Mine", at: mine, others: [{ value: "T", at: theirs }] } },
      live: { "car/make": [theirs, mine], "car/make/note": [theirs] },
    }),
  );
  await append([{ visit, put: "car/make", value: "Settled" }]);
  await chainHolds(await ownEvents(1));
  expect((await ownEvents(2))[0]?.over).toEqual([theirs, mine]);
  const row = await withDatabase((open) => open.get("groups", [visit, "car/make"]));
  expect(row?.live["car/make/note"]).toEqual([theirs]);
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
