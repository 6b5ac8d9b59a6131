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
  grade: "grade",
  note: "note",
  photos: "photo",
  readings: "reading",
  text: "note",
  why: "note",
};

const OF_VISIT: Record<string, EntryKind> = {
  app: "fact",
  asking_price: "money",
  bundle: "fact",
  currency: "money",
  dark: "fact",
  depth: "fact",
  distance_home: "fact",
  inspector: "name",
  motorway: "fact",
  place: "name",
  region: "fact",
  seller: "name",
  started: "fact",
  wet: "fact",
};

const OF_OWNER = ["address", "email", "name", "phone", "plate"];

export function isWithheldKind(kind: string): kind is WithheldKind {
  return WITHHELD_KINDS.some((one) => one === kind);
}

export function entryKind(path: string): EntryKind {
  const [area = "", second = "", third, ...further] = path.split("/");
  const of = (table: Record<string, EntryKind>, name: string | undefined) =>
    (name === undefined || !Object.hasOwn(table, name) ? undefined : table[name]) ?? "plan";
  switch (area) {
    case "seal":
      return "seal";
    case "items":
      return of(OF_ITEM, third);
    case "about":
      return second.startsWith("left_") ? "fact" : of(OF_VISIT, second);
    case "car":
      return OF_OWNER.includes(second) ? "name" : "fact";
    case "media":
      return "photo";
    case "trouble":
      return "note";
    case "work":
      if (third === "done") return "money";
      if (third === "after") return of(OF_ITEM, further[1]);
      return third === "photos" ? "photo" : "note";
    case "verdict":
      return "money";
    default:
      return "plan";
  }
}
