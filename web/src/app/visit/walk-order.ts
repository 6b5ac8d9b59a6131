/** The order of the walk: stages of the visit, areas within them, and what comes next. */

import { FAULTS, type Grade, type Item } from "../../shared/contract";
import { MARK_OF_GRADE, type MarkId } from "../../shared/marks";
import { text } from "../text/catalogue";
import { markName } from "../text/names";
import { choiceChanges, isByEye, shownGrade } from "./items/item-record";
import type { Visit } from "./visit";
import type { Turns, VisitView } from "./visit-view";

/** Items that belong together on a page, with those of them that still lack an answer. */
export interface Part {
  id: string;
  title: string;
  items: Item[];
  open: Item[];
}

/** A page of the visit: an area divided by stages, or a stage divided by areas. */
export interface Page extends Part {
  parts: Part[];
  /** Items that fit the car and that this visit does not ask for; an answer has them asked. */
  more: Item[];
}

/** Whether an item still lacks an answer: neither a person nor another answer has settled it. */
export function isOpen(visit: VisitView, item: Item): boolean {
  if (visit.value(`items/${item.id}/grade`) !== null) return false;
  if (visit.value(`items/${item.id}/choice`) !== null) return false;
  const judged = visit.judged(item.id);
  return judged === undefined || judged.state === "open";
}

/** Whether a must-have or a reason to leave hangs on a check that nobody has answered. */
export function isWanted(visit: VisitView, item: string): boolean {
  return (visit.judged(item)?.reasons ?? []).some(({ code }) => code === "want");
}

function titles(list: { id: string; title: string }[]): Map<string, string> {
  return new Map(list.map(({ id, title }) => [id, title]));
}

function part(visit: Visit, id: string, title: string, items: Item[]): Part {
  return { id, title, items, open: items.filter((item) => isOpen(visit, item)) };
}

function pages(
  visit: Visit,
  outer: { key: "stage" | "area"; list: { id: string; title: string }[] },
  inner: { key: "stage" | "area"; list: { id: string; title: string }[] },
): Page[] {
  const names = titles(inner.list);
  const order = inner.list.map(({ id }) => id);
  return outer.list
    .map(({ id, title }) => {
      const items = visit.items.value.filter((item) => item[outer.key] === id);
      const ids = [...new Set(items.map((item) => item[inner.key]))];
      // the items of a stage stand in the order of the walk, whatever their areas
      if (outer.key === "area") ids.sort((a, b) => order.indexOf(a) - order.indexOf(b));
      const parts = ids.map((inside) =>
        part(
          visit,
          inside,
          names.get(inside) ?? inside,
          items.filter((item) => item[inner.key] === inside),
        ),
      );
      // the page's own order is that of its parts: next is what lies below
      const ordered = parts.flatMap(({ items: own }) => own);
      const more = visit.unasked.value.filter((item) => item[outer.key] === id);
      return { ...part(visit, id, title, ordered), parts, more };
    })
    .filter((page) => page.items.length + page.more.length > 0);
}

/** The visit by areas, in the order of the walk. */
export function areasOf(visit: Visit): Page[] {
  const judged = visit.assessment.value?.areas.map(({ area }) => area) ?? [];
  const list = [...visit.bundle.areas];
  if (judged.length > 0) list.sort((a, b) => judged.indexOf(a.id) - judged.indexOf(b.id));
  return pages(visit, { key: "area", list }, { key: "stage", list: visit.bundle.stages });
}

/** The visit by stages: what is looked at from where one stands, lies or sits. */
export function stagesOf(visit: Visit): Page[] {
  const areas = { key: "area" as const, list: visit.bundle.areas };
  return pages(visit, { key: "stage", list: visit.bundle.stages }, areas);
}

/** The next open item: on the page one is on, then by turns, each time going round once. */
export function nextOpen(
  all: Page[],
  from: string | null,
  turns: Turns = {},
): { page: Page; item: Item } | null {
  const start = Math.max(
    0,
    all.findIndex((page) => page.id === from),
  );
  const turn = ({ id }: Page) => (id === from ? -2 : (turns[id] ?? 0));
  const [page] = [...all.slice(start), ...all.slice(0, start)]
    .filter(({ open }) => open.length > 0)
    .sort((one, other) => turn(one) - turn(other));
  const item = page?.open[0];
  return page === undefined || item === undefined ? null : { page, item };
}

/** From this weight of danger on (0 to 5) a fault is one that somebody may come to harm by. */
const HARMFUL = 3;

/** Whether somebody may come to harm where this is not what it seems. */
export function canHurt({ drive, danger, choices, limits }: Item): boolean {
  const graded = [...(choices ?? []), ...(limits ?? [])];
  const isDangerous = graded.some(({ grade }) => grade === "dangerous");
  return drive === "essential" || danger >= HARMFUL || isDangerous;
}

/**
 * Whether only paper answers it: there is no place on the car to look at, and nothing to try. What
 * its one sound answer says, such as a clean title, is read on its card before it is said.
 */
export function wantsProof({ on_car, needs }: Item): boolean {
  return on_car?.length === 0 && needs.length === 0;
}

/**
 * What may be recorded together as in order. What can hurt somebody is not among it: that wants a
 * look and a tap of its own; nor is work that a receipt has to prove.
 */
export function restOf(items: Item[]): Item[] {
  return items.filter((item) => !canHurt(item) && !wantsProof(item));
}

/** The answer of work of which the seller has no receipt, where a check has it. */
const UNPROVED = "unknown";

/** Work that nobody can show a receipt for: one answer for all of it. */
export function unprovedOf(items: Item[]): Item[] {
  return items.filter((item) => wantsProof(item) && item.choices.some(({ id }) => id === UNPROVED));
}

/** Record that there is no receipt for any of them; one undo takes it all back. */
export function recordUnproved(visit: Visit, items: Item[]): Promise<boolean> {
  return visit.put(
    items.flatMap((item) => choiceChanges(visit, item, UNPROVED)),
    text("phone-rest-unproved-said", { count: items.length }),
  );
}

/** Record the rest as in order in one act that says so; one undo takes it all back. */
export function recordRest(visit: Visit, items: Item[]): Promise<boolean> {
  return visit.put(
    items.map(({ id }) => ({
      put: `items/${id}/grade`,
      value: { grade: "none", together: true },
    })),
    text("phone-rest-said", { count: items.length }),
  );
}

const MILDEST_FIRST: (Grade | null)[] = [null, "none", "uninspected", ...FAULTS];

/** The mark of the worst among items that is not repaired; of a repaired one where no other is. */
export function worstOf(visit: Visit, items: Item[]): MarkId {
  const mended = visit.mended.value;
  const isFaulty = (grade: Grade | null) => FAULTS.some((fault) => fault === grade);
  const ranks = items
    .map((item) => ({ grade: shownGrade(visit, item), isMended: mended.has(item.id) }))
    .filter(({ grade, isMended }) => !(isMended && isFaulty(grade)))
    .map(({ grade }) => MILDEST_FIRST.indexOf(grade));
  const worst = MILDEST_FIRST[Math.max(0, ...ranks)] ?? null;
  const hasMended = items.some((item) => mended.has(item.id) && isFaulty(shownGrade(visit, item)));
  if (hasMended && !isFaulty(worst)) return "mended";
  return worst === null ? "open" : MARK_OF_GRADE[worst];
}

/** How a page stands: the mark of the worst on it once each item has an answer, and its words. */
export function standing(visit: Visit, page: Part): { mark: MarkId | null; words: string } {
  if (page.items.length === 0) return { mark: null, words: text("phone-walk-optional") };
  if (page.open.length > 0) {
    return { mark: "open", words: text("phone-walk-open", { count: page.open.length }) };
  }
  const own = visit.own.value.filter(({ area }) => area === page.id);
  const mark = worstOf(visit, [...page.items, ...own]);
  const count = page.items.filter((item) => isByEye(visit, item)).length;
  if (mark === "fine" && count > 0) return { mark, words: text("phone-walk-eye", { count }) };
  return { mark, words: markName(mark) };
}
