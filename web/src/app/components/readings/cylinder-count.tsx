/** How many cylinders the engine has: it decides at how many places they are measured. */

import { text } from "../../text/catalogue";
import { CYLINDERS_PUT } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons } from "../controls/choice-buttons";

import "./cylinder-count.css";

const COUNTS = ["2", "3", "4", "5", "6", "8", "10", "12"];

export function CylinderCount({ visit }: { visit: Visit }) {
  const label = text("phone-facts-cylinders");
  const stored = visit.text(CYLINDERS_PUT);
  return (
    <div class="fact">
      <p class="fact-label">{label}</p>
      <ChoiceButtons
        label={label}
        className="counts"
        options={COUNTS.map((id) => ({ id, title: id }))}
        chosen={stored}
        onChoose={(id) =>
          void visit.put(
            [{ put: CYLINDERS_PUT, value: stored === id ? null : Number(id) }],
            text("phone-item-recorded", {
              title: label,
              answer: stored === id ? text("phone-item-nothing") : id,
            }),
          )
        }
      />
    </div>
  );
}
