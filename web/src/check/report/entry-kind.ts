/**
 * What kind of entry stands at a path: the twin of server/bradawl/judge/record/entry_kinds.py, for
 * a verdict that waits for no judge. tests/report/check_page holds both to one list of paths.
 */

/** What a report may leave out; never what was found. */
export const WITHHELD_KINDS = ["money", "name", "note", "photo", "plan"] as const;

export type WithheldKind = (typeof WITHHELD_KINDS)[number];
export type EntryKind = WithheldKind | "grade" | "reading" | "choice" | "fact" | "seal";

const OF_ITEM: Record<string, EntryKind> = {
  choice: "choice",
  cost: "money",
  grade: "grade",
  note: "note",
  photos: "photo",
  readings: "reading",
  text: "note",
  why: "note",
  wires: "reading",
};

const OF_PART: Record<string, EntryKind> = {
  note: "note",
  reply: "note",
  vendor: "name",
  where: "name",
};

const OF_CLAIM: Record<string, EntryKind> = {
  date: "fact",
  kind: "fact",
  photos: "photo",
  state: "fact",
  who: "name",
  words: "note",
};

const OF_LOOKUP: Record<string, EntryKind> = {
  date: "fact",
  kind: "fact",
  note: "note",
  photos: "photo",
  result: "fact",
};

const OF_JOB = ["after", "done", "photos"];

const OF_VISIT: Record<string, EntryKind> = {
  app: "fact",
  asking_price: "money",
  bundle: "fact",
  currency: "money",
  dark: "fact",
  depth: "fact",
  distance_home: "fact",
  inspector: "name",
  name: "note",
  motorway: "fact",
  place: "name",
  region: "fact",
  seller: "name",
  started: "fact",
  voice: "fact",
  wet: "fact",
};

/** What some paths were called by seals that were made before. */
const FORMER: Record<string, EntryKind> = { "car/look_first": "fact" };

const OF_OWNER = ["address", "email", "name", "phone", "plate"];

export function isWithheldKind(kind: string): kind is WithheldKind {
  return WITHHELD_KINDS.some((one) => one === kind);
}

export function entryKind(path: string): EntryKind {
  const parts = path.split("/");
  const [area = "", second = "", third] = parts;
  switch (area) {
    case "seal":
      return "seal";
    case "items":
      if (parts.length === 5 && third === "wires" && parts[4] === "note") return "note";
      return ofTable(OF_ITEM, third);
    case "about":
      return second.startsWith("left_") ? "fact" : ofTable(OF_VISIT, second);
    case "car":
      if (second === "look_first") return "plan";
      return OF_OWNER.includes(second) ? "name" : "fact";
    case "people":
      return "name";
    case "drive":
      return "fact";
    case "media":
      return "photo";
    case "amend":
    case "notes":
    case "settled":
    case "trouble":
      return "note";
    case "work":
      return ofJob(parts);
    case "parts":
      return third?.endsWith("_cents") ? "money" : ofTable(OF_PART, third);
    case "claims":
      return ofTable(OF_CLAIM, third);
    case "lookups":
      return ofTable(OF_LOOKUP, third);
    case "calls":
      return third === undefined ? "name" : "note";
    case "ads":
    case "deal":
    case "ledger":
    case "life":
    case "papers":
    case "passed":
    case "verdict":
      return "money";
    default:
      return "plan";
  }
}

/** The kind that a seal made before may have it under. */
export function formerKind(path: string): EntryKind {
  return (Object.hasOwn(FORMER, path) ? FORMER[path] : undefined) ?? entryKind(path);
}

/** A job has a name of two words, or of one; what was noted of it once stood at `done`, with its cost. */
function ofJob(parts: readonly string[]): EntryKind {
  const own = OF_JOB.includes(parts[2] ?? "") ? 2 : 3;
  switch (parts[own]) {
    case "done":
      return parts.length === own + 1 ? "money" : "note";
    case "after":
      return ofTable(OF_ITEM, parts[own + 2]);
    case "photos":
      return "photo";
    default:
      return "note";
  }
}

function ofTable(table: Record<string, EntryKind>, name: string | undefined): EntryKind {
  return (name === undefined || !Object.hasOwn(table, name) ? undefined : table[name]) ?? "plan";
}
