/** Facts of the car that are picked: what each is called, its answers, and which checks hang on it. */

import type { Item, Span } from "../../shared/contract";
import type { Json } from "../../shared/event";
import { catalogue } from "../text/catalogue";
import type { VisitView } from "./visit-view";

const ANSWERS = {
  fuel: ["petrol", "diesel"],
  fuelling: ["injection", "carburettor"],
  front_brakes: ["disc", "drum"],
  rear_brakes: ["disc", "drum"],
  structure: ["unibody", "frame"],
  gearbox: ["manual", "automatic", "cvt", "dual-clutch"],
  drive: ["front", "rear", "all"],
  steering: ["rack", "box"],
  assist: ["power", "manual"],
  airbags: ["yes", "no"],
  catalyst: ["yes", "no"],
  aircon: ["yes", "no"],
};

export const CAR_FACTS = Object.keys(ANSWERS) as (keyof typeof ANSWERS)[];
/** What is recorded of a fact that nobody at the car knows (judge/record/visit_facts.py). */
export const UNKNOWN = "unknown";

export interface CarFact {
  put: string;
  title: string;
  options: { id: string; title: string }[];
}

/** What a code is called: `front_brakes`, `front_brakes-disc`. */
function named(code: string): string {
  return catalogue.find(`fact-${code.replaceAll("_", "-")}`);
}

export function carFact(name: keyof typeof ANSWERS): CarFact {
  const options = ANSWERS[name].map((id) => ({ id, title: named(`${name}-${id}`) }));
  return { put: `car/${name}`, title: named(name), options };
}

/** What is known of a fact: null where nobody said, or somebody that nobody knows. */
export function factOf(visit: VisitView, put: string): Json {
  const value = visit.value(put);
  return value === UNKNOWN ? null : value;
}

/** Whether conditions may hold; what nobody said counts as holding. */
export function mayHold(
  visit: VisitView,
  applies: Record<string, string[] | Span> | undefined,
): boolean {
  return Object.entries(applies ?? {}).every(([name, wanted]) => {
    const value = factOf(visit, `car/${name}`);
    return value === null || !Array.isArray(wanted) || wanted.includes(String(value));
  });
}

/** A fact by its name: one of those that every car has, or one of the checklist's own. */
function factNamed(visit: VisitView, name: string): CarFact | null {
  if (name in ANSWERS) return carFact(name as keyof typeof ANSWERS);
  const facts = (visit.bundle.profile ?? []).flatMap((group) => group.facts);
  const own = facts.find(({ id, choices }) => id === name && choices !== undefined);
  if (own?.choices === undefined || !mayHold(visit, own.applies)) return null;
  return { put: `car/${name}`, title: own.title, options: own.choices };
}

/** The facts on which it hangs whether a check applies, or one of its limits, and nobody answered. */
export function unanswered(visit: VisitView, item: Item): CarFact[] {
  const limits = (item.limits ?? []).map(({ applies }) => applies ?? {});
  const names = new Set([item.applies ?? {}, ...limits].flatMap((one) => Object.keys(one)));
  return [...names]
    .map((name) => factNamed(visit, name))
    .filter((fact) => fact !== null)
    .filter(({ put }) => visit.value(put) === null);
}
