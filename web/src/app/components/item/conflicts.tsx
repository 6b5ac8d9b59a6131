/** Two answers that were given without sight of one another: one tap settles it. */

import type { Grade, Item } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { text } from "../../text/catalogue";
import { gradeName, withUnit } from "../../text/names";
import { argument, recordedText } from "../../text/say";
import { settlingChanges } from "../../visit/item-record";
import type { Visit } from "../../visit/visit";

export function Conflicts({ visit, item }: { visit: Visit; item: Item }) {
  const readable = (put: string, value: Json) => readableValue(visit, item, put, value);
  const conflicts = Object.entries(visit.cellsOf(item.id)).filter(
    ([, cell]) => cell.others.length > 0,
  );
  if (conflicts.length === 0) return null;
  return (
    <div class="conflict">
      <p>{text("phone-item-conflict")}</p>
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

function readableValue({ bundle }: Visit, item: Item, put: string, value: Json): string {
  if (value === null) return "–";
  if (typeof value === "string" && put.endsWith("/choice")) {
    return String(argument({ checklist: ["choice", item.id, value] }, bundle.rules));
  }
  const record = value as Record<string, unknown>;
  if (typeof record.grade === "string") return gradeName(record.grade as Grade);
  if (typeof record.typed === "string") return withUnit(record.typed, String(record.unit ?? ""));
  const caption = typeof record.caption === "undefined" ? value : (record.caption as Json);
  return recordedText(caption, bundle.rules) || "–";
}
