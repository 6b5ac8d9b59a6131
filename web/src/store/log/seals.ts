/** What a signature covers, and the device's own signature under it. */

import { inspection, type Json, type LogEvent, type Put } from "../../shared/event";
import type { Ask, Leaf } from "../../shared/judge-messages";
import { base64url, digest, sha256OfText, utf8 } from "../encoding";
import type { DeviceKey } from "../keys";
import { sealText, sign } from "../keys";
import type { Log } from "./log";
import { shownOf, textOf } from "./values";

/** A call of the judge should stay below 100 kB (judge/README.md). */
const EVENTS_A_CALL = 300;

/** What a person gives when signing, and what the verdict rests on. */
export interface Signing {
  name: string;
  at: Json;
  strokes: number[][];
  box: [number, number];
  /** How much was without an answer, in dispute and not sorted. */
  open: { unchecked: number; disputed: number; unsorted: number };
  /** The message whose words the person read, and the language in which they did. */
  declaration: { message: "seal-declaration"; language: string };
  /** Hashes of the inputs that a verdict rests on. */
  inputs: { checklist: string; judge: string };
}

/** SHA-256 of the sorted leaves of these events: one per live one among them. */
export async function leavesHash(events: LogEvent[], ask: Ask): Promise<string> {
  const leaves: string[] = [];
  for (const piece of piecesByPath(events)) {
    for (const [kind, text] of (await ask({ ask: "leaves", events: piece })).leaves) {
      leaves.push(await hashed(textOf([kind, await hashed(text)])));
    }
  }
  return sha256OfText(textOf(leaves.sort()));
}

async function hashed(text: string): Promise<string> {
  return base64url(await digest(utf8(text)));
}

/** Events in pieces that a call bears; those of one path stay together. */
function piecesByPath(events: LogEvent[]): Leaf[][] {
  const paths = new Map<string, Leaf[]>();
  for (const { at, commit, put, over } of events) {
    const there = paths.get(put);
    if (there === undefined) paths.set(put, [{ at, commit, put, over }]);
    else there.push({ at, commit, put, over });
  }
  const pieces: Leaf[][] = [];
  let piece: Leaf[] = [];
  for (const there of paths.values()) {
    if (piece.length > 0 && piece.length + there.length > EVENTS_A_CALL) {
      pieces.push(piece);
      piece = [];
    }
    piece = [...piece, ...there];
  }
  return piece.length > 0 ? [...pieces, piece] : pieces;
}

/** A seal's value with this device's key and signature. */
export async function signed(
  own: DeviceKey,
  scope: string,
  value: { [key: string]: Json },
): Promise<{ [key: string]: Json }> {
  const { signature: _, ...rest } = value;
  // as it is shown: whoever verifies it has never seen half a character
  const unsigned = shownOf(textOf({ ...rest, key: own.key })) as { [key: string]: Json };
  const text = sealText(own.device, scope, await sha256OfText(textOf(unsigned)));
  return { ...unsigned, signature: await sign(own, text) };
}

/** Sign a visit as it stands on this phone; its groups must be folded. */
export async function seal(log: Log, visit: string, signing: Signing, ask: Ask): Promise<Put[]> {
  const scope = inspection(visit);
  let put: Put | null = null;
  await log.appendMade(async (own) => {
    const [events, cells, mark] = await Promise.all([
      log.chains.eventsIn(scope),
      log.rows.cellsOf(visit),
      log.facts.sync(),
    ]);
    const photos = await ask({ ask: "seal", cells });
    const value = await signed(own, scope, {
      ...signing,
      through: await log.chains.through(scope),
      leaves: await leavesHash(events, ask),
      photos: { count: photos.count, hash: await sha256OfText(photos.photos) },
      receipt: mark.server_ms > 0 ? { run: mark.run, server_ms: mark.server_ms } : null,
    });
    put = { scope, put: `seal/${nextNumber(events)}`, value };
    return [put];
  });
  return put === null ? [] : [put];
}

/** A number that no seal here has borne, not even one that was taken back. */
function nextNumber(events: LogEvent[]): number {
  const numbers = events.map(({ put }) => Number(/^seal\/(\d+)$/.exec(put)?.[1] ?? 0));
  return Math.max(0, ...numbers) + 1;
}
