/** The shop's own word on the car's model: a new visit begins with its figures and weak points. */

import { useEffect } from "preact/hooks";
import type { WeakPoint } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { KNOWN, type Known, LOOK, NAMES, takeModel } from "../../visit/model";
import type { Visit } from "../../visit/visit";

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
  useEffect(() => void takeModel(visit), named);
  const known = visit.value(KNOWN) as Known | null;
  if (known === null || known.name === "") return null;
  const look = (visit.value(LOOK) ?? []) as unknown as WeakPoint[];
  const titleOfItem = (id: string) => visit.item(id)?.title ?? id;
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
