/** Two answers that were given without sight of one another: one tap settles it. */

import type { Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { text } from "../../text/catalogue";
import { settlingChanges, valueText } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { MarkWord } from "../grades/grade-mark";

export function Conflicts({ visit, item }: { visit: Visit; item: Item }) {
  const readable = (put: string, value: Json) => valueText(visit.bundle, item, put, value);
  const conflicts = Object.entries(visit.cellsOf(item.id)).filter(
    ([, cell]) => cell.others.length > 0,
  );
  if (conflicts.length === 0) return null;
  return (
    <div class="conflict">
      <p>
        <MarkWord id="look_here" /> {text("phone-item-conflict")}
      </p>
      {conflicts.map(([put, cell]) => (
        <div key={put} class="choices chips">
          {[{ value: cell.value, at: cell.at }, ...cell.others].map(({ value, at }) => (
            <button
              key={at}
              type="button"
              class="choice"
              onClick={() =>
                void visit.put(
                  settlingChanges(visit, item, put, value, at),
                  text("phone-item-recorded", { title: item.title, answer: readable(put, value) }),
                )
              }
            >
              {readable(put, value)}
            </button>
          ))}
        </div>
      ))}
    </div>
  );
}
