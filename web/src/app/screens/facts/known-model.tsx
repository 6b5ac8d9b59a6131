/** The shop's own word on the car's model: a new visit begins with its figures and weak points. */

import { useEffect } from "preact/hooks";
import type { ShopModel, WeakPoint } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { judged } from "../../../store/log/events";
import { today } from "../../device/local-time";
import { text } from "../../text/catalogue";
import type { Change, Visit } from "../../visit/visit";

const KNOWN = "car/known_model";
const LOOK = "car/look_first";
const NAMES = ["car/make", "car/model", "car/year"];

type Known = { id: string; name: string };

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
    if (visit.value(put) !== null) return [];
    return [
      { put, value: (typeof value === "object" ? { ...value, model: name } : value) as Json },
    ];
  });
  const look = model.look.length > 0 ? (model.look as unknown as Json) : null;
  return [...facts, { put: LOOK, value: look }, { put: KNOWN, value: { id, name } }];
}

/** Takes the first model that fits, once: a visit that has one, or declined it, keeps that. */
async function take(visit: Visit): Promise<void> {
  if (visit.value(KNOWN) !== null || NAMES.some((put) => visit.value(put) === null)) return;
  const { log, judges } = visit.services;
  const events = (await log.chains.eventsIn("shop")).map(judged);
  const cells = Object.entries(visit.cells.peek()).filter(([put]) => put.startsWith("car/"));
  const question = { events, car: Object.fromEntries(cells), today: today() };
  const { models } = await judges.forVisit.ask({ ask: "models", ...question });
  const [first] = models;
  if (first === undefined || visit.value(KNOWN) !== null) return;
  const name = titleOf(first.value);
  await visit.put(changesFor(visit, first.id, first.value), text("phone-model-taken", { name }));
}

/** Takes back what came from the model, and remembers that it was declined. */
function decline(visit: Visit, { id, name }: Known): void {
  const taken = Object.entries(visit.cells.peek()).flatMap(([put, { value }]) =>
    (value as { model?: string } | null)?.model === name ? [{ put, value: null }] : [],
  );
  const kept = { id, name: "" };
  void visit.put(
    [...taken, { put: LOOK, value: null }, { put: KNOWN, value: kept }],
    text("phone-model-declined", { name }),
  );
}

export function KnownModel({ visit }: { visit: Visit }) {
  const named = NAMES.map((put) => visit.text(put));
  useEffect(() => void take(visit), named);
  const known = visit.value(KNOWN) as Known | null;
  if (known === null || known.name === "") return null;
  const look = (visit.value(LOOK) ?? []) as unknown as WeakPoint[];
  const titleOfItem = (id: string) =>
    visit.bundle.items.find((item) => item.id === id)?.title ?? id;
  return (
    <section class="known-model" aria-label={text("phone-model-label")}>
      <p>{text("phone-model-known", { name: known.name })}</p>
      {look.length > 0 && (
        <>
          <p class="fact-label">{text("phone-model-look")}</p>
          <ul>
            {look.map(({ item, note }) => (
              <li key={item}>
                {titleOfItem(item)}
                {note !== undefined && note !== "" && `: ${note}`}
              </li>
            ))}
          </ul>
        </>
      )}
      <button type="button" class="more" onClick={() => decline(visit, known)}>
        {text("phone-model-decline")}
      </button>
    </section>
  );
}
