/** What can be found in a visit: its checks, what was typed, the facts of the car, pages of the walk. */

import type { Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { catalogue, text } from "../../text/catalogue";
import { recordedText } from "../../text/say";
import type { Findable } from "../../text/word-index";
import type { VisitView } from "../visit-view";

/** How much a word counts, by where it stands. */
const WEIGHT = { title: 4, typed: 3, choice: 2, body: 1 };

/** What a result leads to. */
export type Target =
  | { kind: "item"; item: Item }
  | { kind: "own"; item: Item }
  | { kind: "fact"; title: string; value: string }
  | { kind: "area" | "stage"; id: string; title: string };

/** What was typed somewhere, in the reader's words. */
interface TypedText {
  title: string;
  text: string;
}

/** Of an item, what people wrote: its note, its answer in words, why, captions. */
export function typedAt(visit: VisitView, item: string): TypedText[] {
  const title: Record<string, string> = {
    note: text("phone-item-note"),
    text: text("phone-item-text"),
    why: text("phone-item-why-else"),
    photos: text("phone-photo-caption"),
  };
  return Object.entries(visit.cellsOf(item)).flatMap(([put, { value }]) => {
    const kind = put.split("/")[2] ?? "";
    const name = title[kind];
    const written = (value as { caption?: Json } | null)?.caption ?? value;
    if (name === undefined || value === null) return [];
    const said = recordedText(written, visit.bundle.rules);
    return said === "" ? [] : [{ title: name, text: said }];
  });
}

/** The check with its own words and those of the checklist. */
function itemTexts(visit: VisitView, item: Item, area: string, stage: string) {
  const at = (weight: number, texts: (string | undefined)[]) =>
    texts.flatMap((one) => (one === undefined || one === "" ? [] : [{ weight, text: one }]));
  return [
    ...at(WEIGHT.title, [item.title]),
    ...at(
      WEIGHT.typed,
      typedAt(visit, item.id).map((one) => one.text),
    ),
    ...at(WEIGHT.choice, [area, item.where, ...(item.choices ?? []).map(({ title }) => title)]),
    ...at(
      WEIGHT.choice,
      (item.readings ?? []).map(({ title }) => title),
    ),
    ...at(WEIGHT.body, [item.look, stage, ...(item.whys ?? [])]),
  ];
}

/** Facts that have no name of their own on the screen: what the app itself notes. */
const SILENT = new Set([
  "car/id",
  "car/known_model",
  "car/look_first",
  "about/bundle",
  "about/app",
]);

/** The name under which the screen asks for a fact, for those that it asks by name. */
const NAMED: Record<string, string> = {
  "car/registration": "phone-facts-registration",
  "car/colour": "phone-facts-color",
  "about/distance_home": "phone-facts-distance",
  "about/asking_price": "phone-facts-price",
  "brief/value_good": "phone-facts-value",
  "brief/hourly_rate": "phone-facts-rate",
  "car/body_style": "phone-map-style-label",
};

/** The name under which the screen has a fact; null where it has none. */
export function nameOfFact(visit: VisitView, put: string): string | null {
  const [, name = ""] = put.split("/");
  const code = name.replaceAll("_", "-");
  const id = [NAMED[put] ?? "", `phone-facts-${code}`, `fact-${code}`].find((one) =>
    catalogue.has(one),
  );
  if (id !== undefined) return catalogue.find(id);
  const figures = (visit.bundle.profile ?? []).flatMap(({ facts }) => facts);
  return figures.find((fact) => name === fact.id || name.startsWith(`${fact.id}_`))?.title ?? null;
}

/** A fact as it was typed or chosen; "" for anything else. */
export function factText(value: Json): string {
  if (typeof value === "string" || typeof value === "number") return String(value);
  const { typed } = (value ?? {}) as { typed?: Json };
  return typeof typed === "string" ? typed : "";
}

/** What is known of car and day, by path: the name on the screen and what was typed or chosen. */
function factsOf(visit: VisitView): [string, Target][] {
  return Object.entries(visit.cells.value).flatMap(([put, { value }]): [string, Target][] => {
    if (!/^(car|about|brief)\//.test(put) || SILENT.has(put)) return [];
    const title = nameOfFact(visit, put);
    const shown = factText(value);
    return title === null || shown === "" ? [] : [[put, { kind: "fact", title, value: shown }]];
  });
}

/** Everything that can be found, and where each leads. */
export function findables(visit: VisitView): { entries: Findable[]; targets: Map<string, Target> } {
  const targets = new Map<string, Target>();
  const entries: Findable[] = [];
  const add = (id: string, target: Target, texts: Findable["texts"]) => {
    targets.set(id, target);
    entries.push({ id, texts });
  };
  const name = (list: { id: string; title: string }[], id: string) =>
    list.find((one) => one.id === id)?.title ?? "";
  const { areas, stages, items } = visit.bundle;
  for (const { id, title } of areas) {
    add(`area/${id}`, { kind: "area", id, title }, [{ weight: WEIGHT.title, text: title }]);
  }
  for (const { id, title } of stages) {
    add(`stage/${id}`, { kind: "stage", id, title }, [{ weight: WEIGHT.title, text: title }]);
  }
  for (const item of items) {
    const texts = itemTexts(visit, item, name(areas, item.area), name(stages, item.stage));
    add(item.id, { kind: "item", item }, texts);
  }
  for (const item of visit.own.value) {
    const typed = typedAt(visit, item.id).map((one) => ({ weight: WEIGHT.typed, text: one.text }));
    add(item.id, { kind: "own", item }, [{ weight: WEIGHT.title, text: item.title }, ...typed]);
  }
  for (const [put, target] of factsOf(visit)) {
    if (target.kind !== "fact") continue;
    const { title, value } = target;
    add(put, target, [{ weight: WEIGHT.typed, text: `${title} ${value}` }]);
  }
  return { entries, targets };
}
