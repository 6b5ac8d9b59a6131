/** How many cylinders the engine has: it decides at how many places they are measured. */

import type { Visit } from "../state/visit";
import { words } from "../text/en";
import { Choices } from "./choice-buttons";

const COUNTS = ["2", "3", "4", "5", "6", "8", "10", "12"];
const PUT = "car/cylinders";

/** The number that was recorded, or null while nobody said. */
export function cylindersOf(visit: Visit): number | null {
  const value = visit.value(PUT);
  return typeof value === "number" ? value : null;
}

export function Cylinders({ visit }: { visit: Visit }) {
  const label = words.facts.cylinders;
  const known = visit.text(PUT);
  return (
    <div class="fact">
      <p class="fact-label">{label}</p>
      <Choices
        label={label}
        className="counts"
        options={COUNTS.map((id) => ({ id, title: id }))}
        chosen={known}
        onChoose={(id) =>
          void visit.put(
            [{ put: PUT, value: known === id ? null : Number(id) }],
            words.item.recorded(label, known === id ? words.item.nothing : id),
          )
        }
      />
    </div>
  );
}
