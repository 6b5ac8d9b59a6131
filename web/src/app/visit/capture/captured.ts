/** What was captured on the spot and stands with no check, or not yet (inspection/captured.py). */

import type { Json } from "../../../shared/event";
import type { Change } from "../visit";
import type { VisitView } from "../visit-view";

/** Where in the walk something was captured: the check that was looked at, its page. */
export interface Near {
  item?: string;
  area?: string;
  stage?: string;
}

export type Sound = "engine" | "voice";

export interface Captured {
  put: string;
  kind: "photo" | "note" | Sound;
  /** What is recorded at the path. */
  value: { [key: string]: Json };
  taken: string;
  near: Near;
  /** The check that a recording belongs to. */
  item: string | null;
  /** "" for a note. */
  sha256: string;
}

const PATH = /^(?:media\/([0-9a-f]{64})|notes\/[^/]+)$/;

function read(put: string, recorded: Json): Captured | null {
  const found = PATH.exec(put);
  if (found === null || typeof recorded !== "object" || recorded === null) return null;
  const sha256 = found[1] ?? "";
  const value = recorded as { [key: string]: Json };
  const isSound = value.kind === "engine" || value.kind === "voice";
  return {
    ...{ put, value, sha256, taken: String(value.taken ?? "") },
    kind: sha256 === "" ? "note" : isSound ? (value.kind as Sound) : "photo",
    near: (value.near ?? {}) as Near,
    item: isSound && typeof value.item === "string" ? value.item : null,
  };
}

/** All of it, the first taken first. */
export function captured(visit: VisitView): Captured[] {
  const found = Object.entries(visit.besideItems()).map(([put, cell]) => read(put, cell.value));
  return found
    .filter((one) => one !== null)
    .sort((a, b) => (a.taken + a.put < b.taken + b.put ? -1 : 1));
}

/** The recordings of a check. */
export function soundsOf(visit: VisitView, item: string): Captured[] {
  return captured(visit).filter((one) => one.item === item);
}

/** What belongs to no check yet. */
export function unsorted(visit: VisitView): Captured[] {
  return captured(visit).filter(({ item }) => item === null);
}

/** What puts one of it with a check: a recording stays where it is and names its check. */
export function sortingChanges(visit: VisitView, one: Captured, item: string): Change[] {
  const { kind: _, near: __, ...rest } = one.value;
  const takenBack = { put: one.put, value: null };
  if (one.kind === "photo") {
    return [{ put: `items/${item}/photos/${one.sha256}`, value: rest }, takenBack];
  }
  if (one.kind === "note") {
    const put = `items/${item}/note`;
    const before = visit.value(put);
    const told = [typeof before === "string" ? before : "", String(one.value.text ?? "")];
    return [{ put, value: told.join("\n").trim() }, takenBack];
  }
  return [{ put: one.put, value: { ...one.value, item } }];
}
