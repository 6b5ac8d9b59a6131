/**
 * What a car must have and what one leaves for, in a record: `wants/<id>/must` is its place among
 * the must-haves, `wants/<id>/leave` makes it a reason to leave. What is known of each is the judge's.
 */

import type { Assessment, WantJudgment, WantRule, WantSide } from "../../../../shared/contract";
import type { Cells, Json } from "../../../../shared/event";
import { newId } from "../../../../store/encoding";
import type { Change, Visit } from "../../visit";

/** As many must-haves count (judge/record/wants.py). */
export const MOST_MUSTS = 5;
const ID_LETTERS = 12;

export interface Want {
  id: string;
  side: WantSide;
  place: number;
  words: string;
  /** What somebody tapped of it; null where nobody did. */
  so: boolean | null;
}

/** Every must-have in its order, then the reasons to leave. */
export function wantsIn(cells: Cells): Want[] {
  const found = new Map<string, Record<string, Json>>();
  for (const [put, { value }] of Object.entries(cells)) {
    const [area, id, field = "", ...rest] = put.split("/");
    if (area !== "wants" || id === undefined || rest.length > 0 || value === null) continue;
    found.set(id, { ...found.get(id), [field]: value });
  }
  const wants = [...found].flatMap(([id, { must, leave, words, so }]): Want[] => {
    const known = {
      id,
      words: typeof words === "string" ? words : "",
      so: typeof so === "boolean" ? so : null,
    };
    if (typeof must === "number") return [{ ...known, side: "must", place: must }];
    return leave === true ? [{ ...known, side: "leave", place: 0 }] : [];
  });
  const key = ({ side, place, id }: Want) => (side === "must" ? place : Number.MAX_VALUE) || id;
  return wants.sort((a, b) =>
    key(a) === key(b) ? (a.id < b.id ? -1 : 1) : key(a) < key(b) ? -1 : 1,
  );
}

/** What the checklist offers on a side and nobody has taken: first for these uses, then the rest. */
export function offered(
  rules: WantRule[],
  taken: Want[],
  side: WantSide,
  uses: string[],
): { fitting: WantRule[]; others: WantRule[] } {
  const left = rules.filter((row) => row.side === side && !taken.some(({ id }) => id === row.id));
  const isFitting = (row: WantRule) => row.uses.some((use) => uses.includes(use));
  return { fitting: left.filter(isFitting), others: left.filter((row) => !isFitting(row)) };
}

/** What takes these must-haves up behind those that are there. */
export function addMusts(wants: Want[], ids: string[]): Change[] {
  const last = Math.max(0, ...wants.map(({ place }) => place));
  return ids.map((id, index) => ({ put: `wants/${id}/must`, value: last + index + 1 }));
}

export function addLeaves(ids: string[]): Change[] {
  return ids.map((id) => ({ put: `wants/${id}/leave`, value: true }));
}

/** A line of one's own, with what tells of it beside its words. */
export function addOwn(
  wants: Want[],
  side: WantSide,
  words: string,
  tells: { check?: Json; figure?: Json } = {},
): Change[] {
  const id = newId().slice(0, ID_LETTERS);
  return [
    ...(side === "must" ? addMusts(wants, [id]) : addLeaves([id])),
    ...(words === "" ? [] : [{ put: `wants/${id}/words`, value: words }]),
    ...Object.entries(tells).map(([field, value]) => ({ put: `wants/${id}/${field}`, value })),
  ];
}

/** The must-have one place up. */
export function moveUp(musts: Want[], id: string): Change[] {
  const order = musts.map((want) => want.id);
  const at = order.indexOf(id);
  if (at < 1) return [];
  order.splice(at - 1, 2, id, order[at - 1] as string);
  return order.flatMap((name, index) => {
    const before = musts.find((want) => want.id === name)?.place;
    return before === index + 1 ? [] : [{ put: `wants/${name}/must`, value: index + 1 }];
  });
}

/** What takes a want back with all that stands below it. */
export function drop(cells: Cells, id: string): Change[] {
  return Object.entries(cells)
    .filter(([put, { value }]) => put.startsWith(`wants/${id}/`) && value !== null)
    .map(([put]) => ({ put, value: null }));
}

/** What makes the wants of one record those of another, which keeps what is known of its own car. */
export function copied(from: Cells, to: Cells): Change[] {
  const isCopied = (put: string) => put.startsWith("wants/") && !put.endsWith("/so");
  const gone = Object.entries(to)
    .filter(([put, { value }]) => isCopied(put) && value !== null && from[put]?.value == null)
    .map(([put]) => ({ put, value: null }));
  const taken = Object.entries(from)
    .filter(([put, { value }]) => isCopied(put) && value !== null)
    .filter(([put, { value }]) => JSON.stringify(to[put]?.value) !== JSON.stringify(value))
    .map(([put, { value }]) => ({ put, value }));
  return [...gone, ...taken];
}

/** What the judge says of each want, by id. */
export function judgedWants(assessment: Assessment | null): Map<string, WantJudgment> {
  return new Map((assessment?.wants ?? []).map((row) => [row.id, row]));
}

/** The checks that decide what nobody knows yet, in the order of the walk, reasons to leave first. */
export function deciding(visit: Visit, rows: WantJudgment[]): string[] {
  const order = visit.bundle.items.map(({ id }) => id);
  const of = (side: WantSide) => {
    const open = new Set(rows.filter((row) => row.side === side).flatMap((row) => row.open));
    return order.filter((id) => open.has(id));
  };
  return [...new Set([...of("leave"), ...of("must")])];
}
