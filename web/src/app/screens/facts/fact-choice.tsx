/** A fact of the car that is picked, wherever it is asked. */

import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { text } from "../../text/catalogue";
import { type CarFact, UNKNOWN } from "../../visit/car-facts";
import type { Visit } from "../../visit/visit";

import "./asked.css";

/** `isBrief`: beside a check, in one line with "Don't know". */
export function FactChoice({
  visit,
  fact,
  isBrief = false,
}: {
  visit: Visit;
  fact: CarFact;
  isBrief?: boolean;
}) {
  const { put, title } = fact;
  const unknown = { id: UNKNOWN, title: text("fact-unknown") };
  const options = isBrief ? [...fact.options, unknown] : fact.options;
  const value = visit.value(put);
  return (
    <div class={isBrief ? "fact asked" : "fact"} data-asked={isBrief ? put.slice(4) : undefined}>
      <p class="fact-label">{title}</p>
      <ChoiceButtons
        label={title}
        className={isBrief ? "chips" : ""}
        options={options}
        chosen={typeof value === "string" ? value : null}
        onChoose={(id) =>
          void visit.put(
            [{ put, value: value === id ? null : id }],
            text("phone-item-recorded", {
              title,
              answer: options.find((option) => option.id === id)?.title ?? id,
            }),
          )
        }
      />
    </div>
  );
}
