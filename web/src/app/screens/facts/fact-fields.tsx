/** Facts of the car and the visit that are typed: text, a whole number, a distance with its unit. */

import { useState } from "preact/hooks";
import { TextField } from "../../components/controls/text-field";
import { page } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { unitName, withUnit } from "../../text/names";
import { ungrouped } from "../../text/numbers";
import type { Typed } from "../../visit/item-readings";
import type { Visit } from "../../visit/visit";

import "./facts.css";

export function TextFact({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  return (
    <TextField
      id={put.replace("/", "-")}
      label={label}
      value={visit.text(put)}
      onRecord={(typed) => {
        const value = typed.trim() === "" ? null : typed.trim();
        void visit.put(
          [{ put, value }],
          text("phone-item-recorded", {
            title: label,
            answer: value ?? text("phone-item-nothing"),
          }),
        );
        // what is the person's own is kept for the next car
        if (put === "about/inspector" && value !== null)
          void page.state.setPreferences({ inspector: value });
        if (put === "about/currency" && value !== null)
          void page.state.setPreferences({ currency: value });
      }}
    />
  );
}

/** A whole number; what is none is kept in the field with a sentence beside it, and not recorded. */
export function WholeFact({
  visit,
  put,
  label,
  bad,
  pattern,
}: {
  visit: Visit;
  put: string;
  label: string;
  bad: string;
  pattern: RegExp;
}) {
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <TextField
      id={put.replace("/", "-")}
      label={label}
      inputMode="numeric"
      value={wrong ?? visit.text(put)}
      problem={wrong === null ? null : bad}
      onRecord={(typed) => {
        const plain = ungrouped(typed);
        if (plain !== "" && !pattern.test(plain)) {
          setWrong(typed);
          return;
        }
        setWrong(null);
        const value = plain === "" ? null : Number(plain);
        void visit.put(
          [{ put, value }],
          text("phone-item-recorded", {
            title: label,
            answer: plain === "" ? text("phone-item-nothing") : plain,
          }),
        );
      }}
    />
  );
}

/** A distance: typed text with its unit. */
export function Distance({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  const stored = visit.value(put) as Typed | null;
  const [unit, setUnit] = useState(stored?.unit ?? "km");
  const record = (typed: string, newUnit: string) =>
    void visit.put(
      [{ put, value: typed.trim() === "" ? null : { typed: typed.trim(), unit: newUnit } }],
      text("phone-item-recorded", {
        title: label,
        answer: typed.trim() === "" ? text("phone-item-nothing") : withUnit(typed.trim(), newUnit),
      }),
    );
  return (
    <div class="with-unit">
      <TextField
        id={put.replace("/", "-")}
        label={label}
        inputMode="decimal"
        value={stored?.typed ?? ""}
        onRecord={(typed) => record(typed, unit)}
      />
      <button
        type="button"
        class="unit"
        aria-label={text("phone-reading-unit", { unit: unitName(unit) })}
        onClick={() => {
          const next = unit === "km" ? "mi" : "km";
          setUnit(next);
          if (stored !== null) record(stored.typed, next);
        }}
      >
        {unitName(unit)}
      </button>
    </div>
  );
}
