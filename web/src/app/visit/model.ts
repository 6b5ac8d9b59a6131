/** The shop's own word on the car's model, taken into a visit: its figures, its facts, its weak points. */

import type { ShopModel } from "../../shared/contract";
import type { Json } from "../../shared/event";
import { judged } from "../../store/log/events";
import { JudgeProblem } from "../device/judge";
import { today } from "../device/local-time";
import { text } from "../text/catalogue";
import { factOf } from "./car-facts";
import type { Change, Visit } from "./visit";

export const KNOWN = "car/known_model";
export const LOOK = "car/look_first";
export const NAMES = ["car/make", "car/model", "car/year"];

export type Known = { id: string; name: string };

/** `Brasthorn Killdeer 1992–1996`, as the desk calls it. */
function titleOf({ make, model, from, to }: ShopModel): string {
  const years = from === to ? `${from ?? ""}` : `${from ?? ""}–${to ?? ""}`;
  return [make, model, years].filter((part) => part !== "").join(" ");
}

/** The entries by which a visit takes a model; what stands there already stays. */
function changesFor(visit: Visit, id: string, model: ShopModel): Change[] {
  const name = titleOf(model);
  const facts = Object.entries(model.facts).flatMap(([fact, value]) => {
    const put = `car/${fact}`;
    if (factOf(visit, put) !== null) return [];
    return [
      { put, value: (typeof value === "object" ? { ...value, model: name } : value) as Json },
    ];
  });
  const look = model.look.length > 0 ? (model.look as unknown as Json) : null;
  return [...facts, { put: LOOK, value: look }, { put: KNOWN, value: { id, name } }];
}

/** Takes the first model that fits, once: a visit that has one, or declined it, keeps that. */
export async function takeModel(visit: Visit): Promise<void> {
  if (visit.value(KNOWN) !== null || NAMES.some((put) => visit.value(put) === null)) return;
  const { log, judges } = visit.services;
  const events = (await log.chains.eventsIn("shop")).map(judged);
  const cells = Object.entries(visit.cells.peek()).filter(([put]) => put.startsWith("car/"));
  const question = { events, car: Object.fromEntries(cells), today: today() };
  const [first] = await judges.forVisit.ask({ ask: "models", ...question }).then(
    ({ models }) => models,
    (problem) => {
      // the judge's own trouble is told where it belongs; the facts are asked of the person
      if (!(problem instanceof JudgeProblem)) throw problem;
      return [];
    },
  );
  if (first === undefined || visit.value(KNOWN) !== null) return;
  const name = titleOf(first.value);
  await visit.put(changesFor(visit, first.id, first.value), text("phone-model-taken", { name }));
}
