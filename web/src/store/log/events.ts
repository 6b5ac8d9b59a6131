/** An event's fields, its hash over eight of them, its id; and batches, checked as they come. */

import type { Batch, Json, JudgedEvent, LogEvent, SentEvent } from "../../shared/event";
import { message, Told } from "../../shared/said";
import { sha256OfText, utf8 } from "../encoding";
import { deviceOf, headText, verifies } from "../keys";
import { commitTo, isCommit, isSalt, isValueText, NotAnEvent, newSalt, shownOf } from "./values";

const MAX_EVENT_BYTES = 65_536;
const PATH = /^(?=.{1,200}$)[a-z0-9._-]+(\/[a-z0-9._-]+)*$/;
const SCOPE = /^(shop|(inspection|car)\/[0-9a-f]{32})$/;
const STAMP = /^[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}$/;
const STAMP_LETTERS = 54;

/** A batch that does not hold. */
export class BatchRefused extends Told {
  override name = "BatchRefused";
}

/** A batch that holds in itself: `hashes[i]` is that of event i. */
export interface CheckedBatch {
  device: string;
  key: string;
  events: LogEvent[];
  hashes: string[];
  head: string;
  signature: string;
}

/** What `over` names an event by: its stamp, and a commitment that nobody can guess before. */
export function idOf({ at, commit }: Pick<LogEvent, "at" | "commit">): string {
  return `${at}~${commit}`;
}

/** The hashed text: canonical JSON, since the keys stand in order and all in them is ASCII. */
export function hashedText(event: LogEvent): string {
  const { at, commit, device, over, prev, put, scope, seq } = event;
  return JSON.stringify({ at, commit, device, over, prev, put, scope, seq });
}

/** The hash that the next event of this device carries as `prev`. */
export function hashOf(event: LogEvent): Promise<string> {
  return sha256OfText(hashedText(event));
}

/** Raises NotAnEvent for a path that the server would refuse. */
export function refuseBadPath(put: string): void {
  if (!PATH.test(put)) throw new NotAnEvent(message("phone-error-not-recordable"));
}

/** A new event; its value is a canonical text. Raises NotAnEvent when it is too large. */
export async function written(
  place: Pick<LogEvent, "device" | "seq" | "prev" | "at" | "scope" | "put" | "over">,
  value: string,
  salt: string = newSalt(),
): Promise<LogEvent> {
  const event: LogEvent = { ...place, commit: await commitTo(salt, value), value, salt };
  if (isTooLarge(event)) {
    throw new NotAnEvent(message("phone-error-too-long"));
  }
  return event;
}

function isTooLarge(event: LogEvent): boolean {
  return hashedText(event).length + utf8(event.value ?? "").length > MAX_EVENT_BYTES;
}

/** As it travels. */
export function sentForm({ at, over, put, scope, salt, value, commit }: LogEvent): SentEvent {
  if (salt === undefined || value === undefined) return { at, over, put, scope, commit };
  return { at, over, put, scope, salt, value };
}

/** What it says, as it is shown; null where it was erased. */
export function shownValue({ value }: LogEvent): Json {
  return value === undefined ? null : shownOf(value);
}

/** As the judge reads it. */
export function judged(event: LogEvent): JudgedEvent {
  const { device, seq, at, commit, put, over, scope } = event;
  return { device, seq, at, commit, put, over, scope, value: shownValue(event) };
}

/**
 * Whether an entry at this path is evidence or an order, which nobody may erase. What else may be
 * erased is for the judge to say (judge/record/folding.py); of these no server is believed.
 */
export function isNeverErased(put: string): boolean {
  return (
    /^(clock|device|devices|erase|fence|seal)\//.test(put) ||
    /\/(grade|choice|readings)(\/|$)/.test(put)
  );
}

function isErased(sent: SentEvent): sent is SentEvent & { commit: string } {
  return sent.salt === undefined && sent.value === undefined && isCommit(sent.commit);
}

/** The commitment of what was sent. Raises BatchRefused. */
async function committed(sent: SentEvent): Promise<string> {
  if (isErased(sent)) {
    if (!isNeverErased(sent.put)) return sent.commit;
  } else if (isSalt(sent.salt) && typeof sent.value === "string" && isValueText(sent.value)) {
    const commit = await commitTo(sent.salt, sent.value);
    if ((sent.commit ?? commit) === commit) return commit;
  }
  throw damaged();
}

function damaged(): BatchRefused {
  return new BatchRefused(message("phone-error-batch-damaged"));
}

function isId(name: unknown): boolean {
  return (
    typeof name === "string" &&
    name.charAt(STAMP_LETTERS) === "~" &&
    STAMP.test(name.slice(0, STAMP_LETTERS)) &&
    isCommit(name.slice(STAMP_LETTERS + 1))
  );
}

function holdsFields(sent: SentEvent, device: string, before: string): boolean {
  return (
    STAMP.test(sent.at) &&
    sent.at.endsWith(device) &&
    sent.at > before &&
    SCOPE.test(sent.scope) &&
    PATH.test(sent.put) &&
    Array.isArray(sent.over) &&
    sent.over.every((name, n) => isId(name) && (n === 0 || name > (sent.over[n - 1] as string)))
  );
}

/**
 * A batch as the server sent it, checked field by field, along its chain and by its signature.
 * Raises BatchRefused.
 */
export async function readBatch(batch: Batch): Promise<CheckedBatch> {
  const { device, key, from_seq, head, signature } = batch;
  const commits = await Promise.all(batch.events.map(committed));
  const events: LogEvent[] = [];
  const hashes: string[] = [];
  let prev = batch.prev;
  let before = "";
  for (const [index, sent] of batch.events.entries()) {
    if (!holdsFields(sent, device, before)) throw damaged();
    before = sent.at;
    const { at, over, put, scope, salt, value } = sent;
    const place = { device, seq: from_seq + index, prev, at, scope, put, over };
    const event: LogEvent = { ...place, commit: commits[index] as string };
    if (salt !== undefined && value !== undefined) Object.assign(event, { value, salt });
    if (isTooLarge(event)) throw damaged();
    prev = await hashOf(event);
    hashes.push(prev);
    events.push(event);
  }
  if (events.length === 0 || prev !== head) throw damaged();
  if ((await deviceOf(key)) !== device) {
    throw new BatchRefused(message("phone-error-batch-key"));
  }
  const last = from_seq + events.length - 1;
  if (!(await verifies(key, headText(device, last, head), signature))) {
    throw new BatchRefused(message("phone-error-batch-signature"));
  }
  return { device, key, events, hashes, head, signature };
}
