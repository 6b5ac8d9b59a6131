/** The wires recorded on an item: their ids, fields and words. */

import type { Item, ItemJudgment } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { catalogue, text } from "../../text/catalogue";
import { argument } from "../../text/say";
import type { Change } from "../visit";
import type { VisitView } from "../visit-view";

export interface Wire {
  id: string;
  /** By field; what was taken back is not there. */
  fields: Record<string, Json>;
}

function startOf(item: string): string {
  return `items/${item}/wires/`;
}

export function wirePut(item: Item, id: string, field: string): string {
  return `${startOf(item.id)}${id}/${field}`;
}

/** The first written down first: an id begins with its time. */
export function wiresOf(visit: VisitView, item: string): Wire[] {
  const wires = new Map<string, Record<string, Json>>();
  for (const [put, cell] of Object.entries(visit.cellsOf(item))) {
    if (!put.startsWith(startOf(item)) || cell.value === null) continue;
    const [id = "", field = ""] = put.slice(startOf(item).length).split("/");
    wires.set(id, { ...wires.get(id), [field]: cell.value });
  }
  return [...wires].sort(([a], [b]) => (a < b ? -1 : 1)).map(([id, fields]) => ({ id, fields }));
}

/** An id that no other phone makes: the time, and chance for two in the same millisecond. */
export function newWireId(): string {
  const [chance = 0] = crypto.getRandomValues(new Uint32Array(1));
  return `${Date.now().toString(36)}-${chance.toString(36)}`;
}

/** Every field of a wire, taken back. */
export function withoutWire(item: Item, { id, fields }: Wire): Change[] {
  return Object.keys(fields).map((field) => ({ put: wirePut(item, id, field), value: null }));
}

/** A word of the wire tables as this reader says it; anything else as it was typed. */
export function wireWord(field: string, value: Json): string {
  if (typeof value !== "string") return "";
  const id = `judge-wire-${field}-${value}`;
  return catalogue.has(id) ? catalogue.find(id) : value;
}

function sized(size: string, unit: Json | undefined): string {
  return text(unit === "mm2" ? "judge-wire-mm2" : "judge-wire-awg", { size });
}

export function gaugeUnit(unit: Json | undefined): string {
  return sized("", unit).trim();
}

/** A size as it is written on a reel: 14 AWG, 2.5 mm². */
export function gaugeText(value: Json): string {
  const { typed, unit } = (value ?? {}) as Record<string, Json>;
  return typeof typed === "string" ? sized(typed, unit) : "";
}

/** What a fact of a wire says: its figure in the reader's unit, or its word; "" without. */
export function wireFact(judged: ItemJudgment, name: string, id: string): string {
  const value = judged.facts[`wire_${name}.${id}`]?.said.args?.value;
  return value === undefined ? "" : String(argument(value, {}));
}
