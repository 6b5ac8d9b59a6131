/** JSON in which no key stands twice: two readers could take two values from such a text. */

import type { Json } from "../../shared/event";

const TEXT_OR_KEY = /"(?:[^"\\]|\\.)*"(\s*:)?/gs;

/** Throws SyntaxError for what is no JSON, or has a key twice in one object; TypeError for no UTF-8. */
export function parsedOnce(bytes: Uint8Array): Json {
  const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  const parsed = JSON.parse(text) as Json;
  let written = 0;
  for (const [, colon] of text.matchAll(TEXT_OR_KEY)) if (colon !== undefined) written++;
  if (written !== keysIn(parsed)) throw new SyntaxError("a key stands twice");
  return parsed;
}

function keysIn(value: Json): number {
  if (typeof value !== "object" || value === null) return 0;
  const inside = Object.values(value).reduce<number>((sum, one) => sum + keysIn(one), 0);
  return Array.isArray(value) ? inside : inside + Object.keys(value).length;
}
