/** A fact that is a distance: typed, with its unit. */

import { useState } from "preact/hooks";
import { page, preferences } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { decimal, firstUnit } from "../../text/measures";
import { unitName, withUnit } from "../../text/names";
import { region } from "../../text/region";
import { numbers } from "../../text/typed";
import type { Typed } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";
import { ReadFact } from "./fact-fields";

const DISTANCE_UNITS = ["km", "mi"];

/** A distance: typed text with its unit, which is remembered for the next car. */
export function Distance({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  const stored = visit.value(put) as Typed | null;
  const { units } = preferences.value;
  const [chosen, setChosen] = useState<string | null>(null);
  const unit = chosen ?? stored?.unit ?? units[put] ?? firstUnit(DISTANCE_UNITS);
  const shown = (typed: string) => {
    const [figure] = numbers(typed, region.value, true);
    return figure === undefined ? typed : decimal(figure);
  };
  const turn = () => {
    const next = unit === "km" ? "mi" : "km";
    setChosen(next);
    void page.state.setPreferences({ units: { ...units, [put]: next } });
    if (stored === null) return;
    const answer = withUnit(shown(stored.typed), next);
    void visit.put(
      [{ put, value: { ...stored, unit: next } }],
      text("phone-item-recorded", { title: label, answer }),
    );
  };
  return (
    <div class="with-unit">
      <ReadFact
        visit={visit}
        put={put}
        label={label}
        value={stored === null ? "" : shown(stored.typed)}
        read={(typed) => {
          const [figure, ...others] = numbers(typed, region.value, true);
          if (figure === undefined || others.length > 0 || figure.includes("/")) return null;
          const told = withUnit(decimal(figure), unit);
          return { value: { typed: typed.trim(), unit }, told };
        }}
        bad={() =>
          text("phone-facts-distance-unread", { example: withUnit(decimal("113000"), unit) })
        }
      />
      <button
        type="button"
        class="unit"
        aria-label={text("phone-reading-unit", { unit: unitName(unit) })}
        onClick={turn}
      >
        {unitName(unit)}
      </button>
    </div>
  );
}
