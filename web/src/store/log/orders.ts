/** Obeying the shop: what it ordered erased is deleted here; what it ranked anew or fenced is folded. */

import { type LogEvent, type Orders, SHOP, visitOf, visitsOf } from "../../shared/event";
import type { Ask } from "../../shared/judge-messages";
import { quietly } from "../database";
import { ofDevice, type Writing } from "../schema";
import { judged } from "./events";
import type { Log } from "./log";
import { markForFolding } from "./rows";

const ORDER = /^(clock|fence|erase)\//;
/** A call of the judge should stay below 100 kB (judge/README.md). */
const EVENTS_A_CALL = 150;
const NO_ORDERS: Orders = { clock: {}, fence: {}, erase: [] };

/**
 * Read the shop's orders, where some may have come, and do what they say; the visits that are now
 * otherwise. Rejects where the judge does not run; then they stay due.
 */
export async function applyOrders(log: Log, ask: Ask): Promise<string[]> {
  const due = await log.facts.read("ordersDue");
  if (due === undefined || due === null) return [];
  const shop = (await log.facts.read("shop")) ?? [];
  const events = (await log.chains.eventsIn(SHOP)).filter(
    ({ device, put }) => ORDER.test(put) && shop.includes(device),
  );
  const orders = await readOrders(events, shop, ask);
  return log.queue.run(async () => {
    await log.rows.settle();
    const changed = await carryOut(log, orders, due);
    log.forget();
    return visitsOf(changed);
  });
}

async function readOrders(events: LogEvent[], shop: string[], ask: Ask): Promise<Orders> {
  const paths = new Map<string, LogEvent[]>();
  for (const event of events) paths.set(event.put, [...(paths.get(event.put) ?? []), event]);
  const orders: Orders = { clock: {}, fence: {}, erase: [] };
  let piece: LogEvent[] = [];
  const readPiece = async () => {
    const answer = (await ask({ ask: "orders", events: piece.map(judged), shop })).orders;
    for (const [device, rows] of Object.entries(answer.clock)) {
      orders.clock[device] = byFirst([...(orders.clock[device] ?? []), ...rows]);
    }
    for (const [device, rows] of Object.entries(answer.fence)) {
      orders.fence[device] = byFirst([...(orders.fence[device] ?? []), ...rows]);
    }
    orders.erase.push(...answer.erase);
    piece = [];
  };
  for (const there of paths.values()) {
    if (piece.length > 0 && piece.length + there.length > EVENTS_A_CALL) await readPiece();
    piece.push(...there);
  }
  if (piece.length > 0) await readPiece();
  return orders;
}

/** In the order of their first seq, as the judge gives them. */
function byFirst<T extends [number, ...unknown[]]>(rows: T[]): T[] {
  return rows.sort(([a], [b]) => a - b);
}

/** Ranges that the one has and the other has not: what they are about is to be folded. */
function changedRanges(
  before: Orders,
  now: Orders,
): { device: string; from: number; to: number | null }[] {
  const ranges = (orders: Orders) => {
    const all: [string, [number, number | null, unknown][]][] = [
      ...Object.entries(orders.clock),
      ...Object.entries(orders.fence),
    ];
    return all.flatMap(([device, rows]) =>
      rows.map((row) => [JSON.stringify([device, row]), device, row[0], row[1]] as const),
    );
  };
  const [old, fresh] = [ranges(before), ranges(now)];
  const names = (list: typeof old) => new Set(list.map(([name]) => name));
  const [oldNames, freshNames] = [names(old), names(fresh)];
  return [
    ...old.filter(([name]) => !freshNames.has(name)),
    ...fresh.filter(([name]) => !oldNames.has(name)),
  ].map(([, device, from, to]) => ({ device, from, to }));
}

async function carryOut(log: Log, orders: Orders, due: string): Promise<LogEvent[]> {
  const changed: LogEvent[] = [];
  await log.store.transact(
    ["events", "groups", "dirty", "visits", "assessments", "photos", "cards", "meta"],
    async (tx) => {
      const meta = tx.objectStore("meta");
      const before = ((await meta.get("orders")) as Orders | undefined) ?? NO_ORDERS;
      for (const { device, from, to } of changedRanges(before, orders)) {
        const range = ofDevice(device, from, to ?? undefined);
        changed.push(...(await tx.objectStore("events").getAll(range)));
      }
      changed.push(...(await erase(tx, orders)));
      await markForFolding(tx, changed);
      quietly(meta.put(orders, "orders"));
      if ((await meta.get("ordersDue")) === due) quietly(meta.put(null, "ordersDue"));
    },
  );
  return changed;
}

/** Delete values and salts, and everything that was made of them; what was erased now. */
async function erase(tx: Writing, orders: Orders): Promise<LogEvent[]> {
  const erased: LogEvent[] = [];
  const events = tx.objectStore("events");
  for (const { device, seq, put, commit } of orders.erase) {
    const event = await events.get([device, seq]);
    if (event === undefined || event.put !== put || event.commit !== commit) continue;
    if (event.salt === undefined) continue;
    const { value: _value, salt: _salt, ...rest } = event;
    quietly(events.put(rest));
    erased.push(rest);
    const [first = "", second = ""] = put.split("/");
    quietly(tx.objectStore("groups").delete([event.scope, `${first}/${second}`]));
    const visit = visitOf(event.scope);
    if (visit !== null) quietly(tx.objectStore("assessments").delete(visit));
  }
  await erasePhotos(tx, erased);
  return erased;
}

/** The bytes of photos whose entries were erased, unless another entry still names them. */
async function erasePhotos(tx: Writing, erased: LogEvent[]): Promise<void> {
  const named = new Set(
    erased
      .map(({ put }) => /(?:^media|\/photos)\/([0-9a-f]{64})$/.exec(put)?.[1])
      .filter((name) => name !== undefined),
  );
  if (named.size === 0) return;
  let cursor = await tx.objectStore("events").openCursor();
  while (cursor !== null) {
    const { put, salt, value } = cursor.value;
    // one that takes the photo back needs no bytes
    if (salt !== undefined && value !== "null") named.delete(put.split("/").pop() ?? "");
    cursor = await cursor.continue();
  }
  for (const name of named) {
    quietly(tx.objectStore("photos").delete(name));
    quietly(tx.objectStore("cards").delete(name));
  }
}
