/**
 * Going on under a new number: a new key and chain, on which own entries are written anew.
 *
 * A chain that was lost, or of which two copies went different ways, cannot go on. What it held up
 * to there stays; what came after is written on a new chain that says from where it goes on. All
 * of it is one transaction, so that a phone that dies in the middle has either the old or the new.
 */

import { CONTINUES, type Json, type LogEvent, SHOP, visitsOf } from "../../shared/event";
import type { Ask } from "../../shared/judge-messages";
import { quietly } from "../database";
import { NOTHING_ANSWERED, type Own, type SyncMark } from "../facts";
import { createKey, type DeviceKey, headText, sign } from "../keys";
import { type GroupRow, ofDevice, type SignatureRow, type Writing } from "../schema";
import { EVENTS_A_BATCH, fitting } from "./chains";
import { justBefore, nextStamp, restamped } from "./clock";
import { hashOf, idOf, shownValue, written } from "./events";
import type { Log } from "./log";
import { markForFolding } from "./rows";
import { leavesHash, signed } from "./seals";
import { textOf } from "./values";

const ATTEMPTS = 5;

/** The chain that a new one goes on from, up to where, and why. */
export interface Continuing {
  device: string;
  seq: number;
  head: string;
  why: "lost" | "forked";
}

/** Which entries are written anew: those of `device` after `after`, but for the seqs left out. */
export interface Source {
  device: string;
  after: number;
  leaveOut?: number[];
  /** Seals are another's, and not signed anew. */
  sealsStay?: boolean;
}

interface Moved {
  before: LogEvent;
  now: LogEvent;
}

interface End {
  own: DeviceKey;
  seq: number;
  head: string;
  latest: string;
}

/** Another tab has written while the new chain was being prepared. */
class Overtaken extends Error {}

/**
 * Begin a new chain of this phone. Resolves with the visits whose entries are now others. Rejects
 * where a seal is among them and the judge does not run.
 */
export function beginChain(
  log: Log,
  ask: Ask,
  continuing: Continuing,
  source: Source,
  wall: () => number = Date.now,
): Promise<string[]> {
  return again(log, async () => {
    const before = await log.identity.refresh();
    const late = await log.chains.events(source.device, source.after + 1);
    const own: Own = { ...(await createKey()), origin: continuing.device };
    const { seen } = await log.readHead();
    const first = late[0];
    const at =
      first === undefined ? nextStamp(seen, wall(), own.device) : justBefore(first.at, own.device);
    const { device, seq, head, why } = continuing;
    const place = { device: own.device, seq: 1, prev: "", at, scope: SHOP, put: CONTINUES };
    const begin = await written({ ...place, over: [] }, textOf({ device, seq, head, why }));
    const end = { own, seq: 1, head: await hashOf(begin), latest: begin.at };
    const moved = await rewrite(log, ask, late, source, end);
    const headOfSource = await log.chains.hashAt(source.device, source.after);
    const signature = await sign(before, headText(before.device, source.after, headOfSource ?? ""));
    return move(log, before, source, late, moved, async (tx) => {
      quietly(tx.objectStore("events").add(begin));
      if (source.device === before.device && source.after > 0 && headOfSource !== null) {
        const row = { device: before.device, key: before.key, seq: source.after };
        quietly(tx.objectStore("chains").put({ ...row, head: headOfSource }));
        // with its last act the old key lets anybody bring what stays on its chain
        const signed = { device: before.device, seq: source.after, signature };
        quietly(tx.objectStore("signatures").put(signed));
      }
      const meta = tx.objectStore("meta");
      const sync = ((await meta.get("sync")) as SyncMark | undefined) ?? NOTHING_ANSWERED;
      quietly(meta.put({ ...sync, acknowledged: 0 }, "sync"));
      quietly(meta.put(own, "own"));
      const settled = { device: own.device, seq: moved.at(-1)?.now.seq ?? 1 };
      quietly(meta.put(settled, "settled"));
    });
  });
}

/**
 * Write on the present chain what lies unsigned on one that this phone once had: a tab that had not
 * heard of the new chain, or a storage that lost a part of itself.
 */
export function adopt(log: Log, ask: Ask, source: Source): Promise<string[]> {
  return again(log, async () => {
    await log.rows.settle();
    const own = await log.identity.refresh();
    const { seq, hash, last } = await log.readHead();
    const late = await log.chains.events(source.device, source.after + 1);
    const end = { own, seq, head: await hash, latest: last };
    const moved = await rewrite(log, ask, late, source, end);
    return move(log, own, source, late, moved, (tx) => {
      const settled = { device: own.device, seq: moved.at(-1)?.now.seq ?? seq };
      quietly(tx.objectStore("meta").put(settled, "settled"));
    });
  });
}

/**
 * Write what no signature of another's device ends any more on a chain of its own, whose key signs
 * it and is forgotten: from there anybody can bring it. `after` is what stays of the other's chain,
 * `seqs` are those beyond it that are written anew, as they are, seals too: what else there is
 * beyond it goes. Resolves with the new chain's device and the visits whose entries are now others.
 */
export async function writeApart(
  log: Log,
  ask: Ask,
  { device, after, seqs }: { device: string; after: number; seqs: number[] },
): Promise<{ apart: string; visits: string[] }> {
  let apart = "";
  const visits = await again(log, async () => {
    await log.rows.settle();
    const own = await log.identity.refresh();
    const late = await log.chains.events(device, after + 1);
    const kept = late.filter(({ seq }) => seqs.includes(seq));
    const first = kept[0] as LogEvent;
    const key = await createKey();
    apart = key.device;
    const at = justBefore(first.at, apart);
    const place = { device: apart, seq: 1, prev: "", at, scope: SHOP, put: CONTINUES };
    const from = { device, seq: first.seq - 1, head: first.prev, why: "unsigned" };
    const begin = await written({ ...place, over: [] }, textOf(from));
    const end = { own: key, seq: 1, head: await hashOf(begin), latest: at };
    const source = { device, after, sealsStay: true };
    const moved = await rewrite(log, ask, kept, source, end);
    const chain = [begin, ...moved.map(({ now }) => now)];
    const signatures = await signaturesOf(key, chain);
    const head = await hashOf(chain.at(-1) as LogEvent);
    const stays = await log.chains.hashAt(device, after);
    const row = await log.chains.row(device);
    return move(log, own, source, late, moved, (tx) => {
      quietly(tx.objectStore("events").add(begin));
      const chains = tx.objectStore("chains");
      quietly(chains.put({ device: apart, key: key.key, seq: chain.length, head }));
      for (const signature of signatures) quietly(tx.objectStore("signatures").put(signature));
      if (after === 0 || stays === null || row === undefined) quietly(chains.delete(device));
      else quietly(chains.put({ device, key: row.key, seq: after, head: stays }));
    });
  });
  return { apart, visits };
}

/** Signatures over a chain, at ends of batches that can be sent. */
async function signaturesOf(key: DeviceKey, chain: LogEvent[]): Promise<SignatureRow[]> {
  const signatures: SignatureRow[] = [];
  for (let rest = chain; rest.length > 0; ) {
    const part = fitting(rest.slice(0, EVENTS_A_BATCH));
    const { device, seq } = part.at(-1) as LogEvent;
    const text = headText(device, seq, await hashOf(part.at(-1) as LogEvent));
    signatures.push({ device, seq, signature: await sign(key, text) });
    rest = rest.slice(part.length);
  }
  return signatures;
}

/** In turn, and once more where another tab has written meanwhile. */
function again(log: Log, work: () => Promise<string[]>): Promise<string[]> {
  return log.queue.run(async () => {
    for (let attempt = 1; ; attempt += 1) {
      log.forget();
      try {
        const visits = await work();
        log.forget();
        await log.identity.refresh();
        return visits;
      } catch (problem) {
        const isTaken = problem instanceof DOMException && problem.name === "ConstraintError";
        if (!(problem instanceof Overtaken || isTaken) || attempt >= ATTEMPTS) throw problem;
      }
    }
  });
}

async function rewrite(
  log: Log,
  ask: Ask,
  late: LogEvent[],
  source: Source,
  onto: End,
): Promise<Moved[]> {
  const moved: Moved[] = [];
  const ids = new Map<string, string>();
  let { seq, head, latest } = onto;
  for (const before of late) {
    if (source.leaveOut?.includes(before.seq)) continue;
    const { scope, put } = before;
    seq += 1;
    latest = restamped(before.at, latest, onto.own.device);
    const over = before.over.map((id) => ids.get(id) ?? id).sort();
    const place = { device: onto.own.device, seq, prev: head, at: latest, scope, put, over };
    const isSeal = !source.sealsStay && /^seal\/\d+$/.test(put) && before.value !== undefined;
    const text = isSeal
      ? await sealedAnew(log, ask, onto.own, source, moved, before)
      : before.value;
    const now: LogEvent =
      text === undefined
        ? { ...place, commit: before.commit }
        : await written(place, text, isSeal ? undefined : before.salt);
    head = await hashOf(now);
    ids.set(idOf(before), idOf(now));
    moved.push({ before, now });
  }
  return moved;
}

/** A seal as it stands on the new chain: it covers the same, under other numbers. */
async function sealedAnew(
  log: Log,
  ask: Ask,
  own: DeviceKey,
  source: Source,
  moved: Moved[],
  seal: LogEvent,
): Promise<string> {
  const value = shownValue(seal) as { [key: string]: Json };
  if (value === null || typeof value !== "object") return textOf(value);
  const through = { ...(value.through as Record<string, number>) };
  const upTo = through[source.device] ?? 0;
  delete through[source.device];
  const there = (await log.chains.eventsIn(seal.scope)).filter(
    ({ device, seq }) => device !== source.device || seq <= Math.min(source.after, upTo),
  );
  const covered = moved.filter(({ before }) => before.scope === seal.scope && before.seq <= upTo);
  for (const { device, seq } of there) {
    if (device === source.device) through[device] = Math.max(through[device] ?? 0, seq);
  }
  const last = covered.at(-1);
  if (last !== undefined) through[own.device] = last.now.seq;
  const events = [...there, ...covered.map(({ now }) => now)].filter(
    ({ device, seq }) => seq <= (through[device] ?? 0),
  );
  const leaves = await leavesHash(events, ask);
  return textOf(await signed(own, seal.scope, { ...value, through, leaves }));
}

/** One transaction: the source loses what came after, the new entries are there, the rows follow. */
async function move(
  log: Log,
  own: Own,
  source: Source,
  late: LogEvent[],
  moved: Moved[],
  more: (tx: Writing) => Promise<void> | void,
): Promise<string[]> {
  const ids = new Map(moved.map(({ before, now }) => [idOf(before), idOf(now)]));
  const stamps = new Map(moved.map(({ before, now }) => [before.at, now.at]));
  await log.store.transact(
    ["events", "chains", "signatures", "groups", "dirty", "visits", "meta"],
    async (tx) => {
      const events = tx.objectStore("events");
      const top = (await events.openKeyCursor(ofDevice(source.device), "prev"))?.key[1] ?? 0;
      const present = (await tx.objectStore("meta").get("own")) as Own | undefined;
      const isLonger = top > (late.at(-1)?.seq ?? source.after);
      if (isLonger || present?.device !== own.device) throw new Overtaken();
      quietly(events.delete(ofDevice(source.device, source.after + 1)));
      quietly(tx.objectStore("signatures").delete(ofDevice(source.device, source.after + 1)));
      for (const { now } of moved) quietly(events.add(now));
      const changed = [...late, ...moved.map(({ now }) => now)];
      await renameRows(tx, changed, ids, stamps);
      await markForFolding(tx, changed);
      await more(tx);
    },
  );
  const now = new Map(moved.map((entry) => [entry.before.seq, entry.now]));
  log.moved(source.device, source.after, now);
  return visitsOf(late);
}

/** Until the judge has folded them, the rows name the entries by what they are now called. */
async function renameRows(
  tx: Writing,
  changed: LogEvent[],
  ids: Map<string, string>,
  stamps: Map<string, string>,
): Promise<void> {
  const groups = tx.objectStore("groups");
  for (const scope of new Set(changed.map((event) => event.scope))) {
    const puts = changed.filter((event) => event.scope === scope).map(({ put }) => put);
    const names = new Set(puts.map((put) => put.split("/").slice(0, 2).join("/")));
    for (const group of names) {
      const row = await groups.get([scope, group]);
      if (row !== undefined) quietly(groups.put(renamed(row, ids, stamps)));
    }
  }
}

function renamed(row: GroupRow, ids: Map<string, string>, stamps: Map<string, string>): GroupRow {
  const live = Object.entries(row.live).map(([put, there]) => [
    put,
    there.map((id) => ids.get(id) ?? id).sort(),
  ]);
  const cells = Object.entries(row.cells).map(([put, cell]) => [
    put,
    { ...cell, at: stamps.get(cell.at) ?? cell.at },
  ]);
  return { ...row, live: Object.fromEntries(live), cells: Object.fromEntries(cells) };
}
