/** Canonical JSON (RFC 8785, without fractions) and the hash chain over a device's events. */

import canonicalize from "canonicalize";
import type { Json, LogEvent } from "../shared/event";

const EVENT_LIMIT = 65_536;
const PATH = /^[a-z0-9._/-]{1,200}$/;

/** An event that the log cannot hold. The message is a sentence for the person. */
export class NotAnEvent extends Error {
  override name = "NotAnEvent";
}

function refuseFractions(value: Json, depth: number): void {
  if (depth > 16) throw new NotAnEvent("This entry is nested too deeply to be recorded.");
  if (typeof value === "number") {
    if (!Number.isSafeInteger(value)) {
      throw new NotAnEvent("A number with a fraction is recorded as the text that was typed.");
    }
  } else if (typeof value === "string") {
    // a lone surrogate has no UTF-8
    if (/\p{Surrogate}/u.test(value)) {
      throw new NotAnEvent("The text holds half a character; delete it and type it again.");
    }
  } else if (Array.isArray(value)) {
    for (const entry of value) refuseFractions(entry, depth + 1);
  } else if (value !== null && typeof value === "object") {
    for (const entry of Object.values(value)) refuseFractions(entry, depth + 1);
  }
}

/** Raises NotAnEvent when the server would refuse this path or value. */
export function refuseBadPut(put: string, value: Json): void {
  if (!PATH.test(put)) throw new NotAnEvent(`“${put}” is not a path of the record.`);
  refuseFractions(value, 0);
}

export function canonical(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new NotAnEvent("This entry cannot be written as JSON.");
  return text;
}

export async function sha256(bytes: BufferSource): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export function sha256OfText(text: string): Promise<string> {
  return sha256(new TextEncoder().encode(text));
}

/** The hash that the next event of this device carries as `prev`. */
export function hashOfEvent(event: LogEvent): Promise<string> {
  if (event.withheld !== undefined) return Promise.resolve(event.withheld);
  const { device, seq, prev, at, visit, put, value, over } = event;
  const text = canonical({ device, seq, prev, at, visit, put, value, over });
  if (text.length > EVENT_LIMIT) {
    throw new NotAnEvent("This entry is too long to be recorded; shorten the text.");
  }
  return sha256OfText(text);
}
