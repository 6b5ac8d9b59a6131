/** A value as it is recorded: canonical JSON as a text, and the commitment that stands for it. */

import type { Json } from "../../shared/event";
import { message, Told } from "../../shared/said";
import { base64url, digest, fromBase64url, utf8 } from "../encoding";

const MAX_NESTING = 16;
const ASCII = /^[\0-\x7f]*$/;
const SALT_BYTES = 16;
const COMMIT_BYTES = 32;

/** An event that the log cannot hold. */
export class NotAnEvent extends Told {
  override name = "NotAnEvent";
}

/**
 * The one text of a value: RFC 8785 without fractions and with ASCII keys; half a character as its
 * lower-case escape, which is how JSON.stringify writes it. Raises NotAnEvent.
 */
export function textOf(value: Json, depth = 0): string {
  if (value === null || typeof value === "boolean") return String(value);
  if (typeof value === "string") return JSON.stringify(value);
  if (typeof value === "number") {
    if (!Number.isSafeInteger(value)) {
      throw new NotAnEvent(message("phone-error-fraction"));
    }
    return JSON.stringify(value);
  }
  if (typeof value !== "object") throw new NotAnEvent(message("phone-error-not-recordable"));
  if (depth >= MAX_NESTING) {
    throw new NotAnEvent(message("phone-error-not-recordable"));
  }
  if (Array.isArray(value)) return `[${value.map((entry) => textOf(entry, depth + 1)).join(",")}]`;
  const entries = Object.keys(value)
    .sort()
    .map((key) => {
      if (!ASCII.test(key)) throw new NotAnEvent(message("phone-error-not-recordable"));
      return `${JSON.stringify(key)}:${textOf(value[key] as Json, depth + 1)}`;
    });
  return `{${entries.join(",")}}`;
}

/** The value behind a recorded text, as it is shown: half a character as U+FFFD. */
export function shownOf(text: string): Json {
  if (!text.includes("\\ud")) return JSON.parse(text);
  return JSON.parse(text, (_key, value) =>
    typeof value === "string" ? value.replace(/\p{Surrogate}/gu, "\ufffd") : value,
  );
}

/** Whether an event may hold this text: there is one for each value, and no other is taken. */
export function isValueText(text: string): boolean {
  try {
    return textOf(JSON.parse(text)) === text;
  } catch (problem) {
    if (problem instanceof SyntaxError || problem instanceof NotAnEvent) return false;
    throw problem;
  }
}

/** Base64url of 16 random bytes. */
export function newSalt(): string {
  return base64url(crypto.getRandomValues(new Uint8Array(SALT_BYTES)));
}

export function isSalt(text: unknown): text is string {
  return typeof text === "string" && fromBase64url(text, SALT_BYTES) !== null;
}

export function isCommit(text: unknown): text is string {
  return typeof text === "string" && fromBase64url(text, COMMIT_BYTES) !== null;
}

/** base64url(SHA-256(salt ‖ text)); the salt must be one. */
export async function commitTo(salt: string, text: string): Promise<string> {
  const before = fromBase64url(salt, SALT_BYTES) as Uint8Array;
  const after = utf8(text);
  const both = new Uint8Array(before.length + after.length);
  both.set(before);
  both.set(after, before.length);
  return base64url(await digest(both));
}
