/** Findings that no check of the checklist asks for, in the words of who found them. */

import type { Item } from "../../../shared/contract";
import type { Cells } from "../../../shared/event";

const OWN = /^items\/(([^/]+?)\.own-[^/]+)\/(text|grade|photos\/.+)$/;

export function isOwn(item: string): boolean {
  return item.includes(".own-");
}

/** A finding as an item, so that whatever shows an item shows it too. */
export function ownItem(id: string, title: string): Item {
  const item = { id, area: id.split(".own-")[0], title, answers: ["grade"], whys: [] };
  // the checklist has nothing else to say of it
  return item as unknown as Item;
}

/** Those that stand in a record, in the order of their ids. */
export function ownFindings(cells: Cells): Item[] {
  const found = new Map<string, string>();
  for (const [put, { value }] of Object.entries(cells)) {
    const [, id = "", , kind] = value === null ? [] : (OWN.exec(put) ?? []);
    if (id === "") continue;
    const title = kind === "text" && typeof value === "string" ? value : "";
    found.set(id, title || (found.get(id) ?? ""));
  }
  return [...found].sort().map(([id, title]) => ownItem(id, title));
}
