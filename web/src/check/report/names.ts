/**
 * Whether a signer's name could be taken for another (server/bradawl/report/signing/names.py), and
 * names of strangers made fit to be shown.
 */

/** What is written in place of a letter that looks like another one. */
export type Prototypes = Record<string, string>;

export type Likeness = "" | "same" | "near";

const SHORTEST = 6;
/** Letters that are blank although Unicode calls them neither space nor control. */
const BLANK =
  /\u034f|\u115f|\u1160|\u17b4|\u17b5|[\u180b-\u180f]|\u2800|\u3164|[\ufe00-\ufe0f]|\uffa0|[\u{e0100}-\u{e01ef}]/gu;
const HIDDEN = /[\p{C}\p{Zl}\p{Zp}]/u;

/** Whether a name holds characters that nobody sees. */
export function hidesCharacters(name: string): boolean {
  return HIDDEN.test(name) || name.search(BLANK) >= 0;
}

/** A stranger's text in quotes, without what could pass for our own words or turn them round. */
export function quoted(text: string): string {
  const plain = text.replace(/[\p{C}\p{Zl}\p{Zp}]/gu, "\ufffd").replace(BLANK, "\ufffd");
  const letters = [...plain.replaceAll('"', "\u2033")];
  const short = letters.length > 120 ? `${letters.slice(0, 119).join("")}\u2026` : letters.join("");
  return `\u201c${short}\u201d`;
}

/** What is left of a name for the eye. */
export function skeleton(name: string, prototypes: Prototypes): string {
  const alike = (letters: string) =>
    [...letters].map((letter) => prototypes[letter] ?? letter).join("");
  const once = alike(name.normalize("NFKC"));
  const twice = alike(once.toLowerCase().normalize("NFKD"));
  return twice.replace(BLANK, "").replace(/[^\p{L}\p{N}]/gu, "");
}

/** "same": nobody can tell them apart, or only by blanks and case; "near": one letter apart. */
export function likeness(claimed: string, known: string, prototypes: Prototypes): Likeness {
  const [one, other] = [skeleton(claimed, prototypes), skeleton(known, prototypes)];
  if (one === "" || other === "") return "";
  const isSame =
    one === other ||
    skeleton(claimed.toLowerCase(), prototypes) === skeleton(known.toLowerCase(), prototypes);
  if (isSame) return "same";
  const isLong = Math.min(one.length, other.length) >= SHORTEST;
  const isInside = isLong && (one.includes(other) || other.includes(one));
  return isInside || isOneApart(one, other) ? "near" : "";
}

/** Whether one letter more, less or other, or two exchanged, makes one of the other. */
function isOneApart(one: string, other: string): boolean {
  const [short, long] = one.length <= other.length ? [one, other] : [other, one];
  if (long.length - short.length > 1 || short.length < SHORTEST) return false;
  let begin = 0;
  while (begin < short.length && short[begin] === long[begin]) begin++;
  const [rest, others] = [short.slice(begin), long.slice(begin)];
  if (short.length < long.length) return rest === others.slice(1);
  const exchanged = `${others[1] ?? ""}${others[0] ?? ""}`;
  return (
    rest.slice(1) === others.slice(1) ||
    (rest.slice(0, 2) === exchanged && rest.slice(2) === others.slice(2))
  );
}
