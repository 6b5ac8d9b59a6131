/** Facts of the car and the visit that are typed: text, a whole number, money, a distance with its unit. */

import { useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import { TextField } from "../../components/controls/text-field";
import { page, preferences } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { money } from "../../text/formats";
import { decimal, firstUnit } from "../../text/measures";
import { unitName, withUnit } from "../../text/names";
import { region } from "../../text/region";
import { amounts, numbers } from "../../text/typed";
import type { Typed } from "../../visit/items/item-readings";
import type { Change, Visit } from "../../visit/visit";

import "./facts.css";

export function TextFact({
  visit,
  put,
  label,
  along,
}: {
  visit: Visit;
  put: string;
  label: string;
  /** What the text says beside itself, recorded with it. */
  along?: (typed: string) => Change[];
}) {
  return (
    <TextField
      id={put.replace("/", "-")}
      label={label}
      value={visit.text(put)}
      onRecord={(typed) => {
        const value = typed.trim() === "" ? null : typed.trim();
        void visit.put(
          [{ put, value }, ...((value !== null && along?.(value)) || [])],
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
        const plain = typed.replace(/\s/g, "");
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

/** Whole money, as people write it: $3,500. */
export function MoneyFact({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  const currency = visit.text("about/currency");
  const shown = (amount: number) => money(amount, currency);
  const stored = visit.value(put);
  return (
    <ReadFact
      visit={visit}
      put={put}
      label={label}
      value={typeof stored === "number" ? shown(stored) : ""}
      read={(typed) => {
        const [amount] = amounts(typed, region.value);
        if (amount === undefined) return null;
        const whole = Math.round(Number(amount));
        return { value: whole, told: shown(whole) };
      }}
      bad={(typed) => {
        const [part] = amounts(typed, "eu");
        const [whole] = amounts(typed.replaceAll(",", ""), "us");
        return region.value === "us" && part !== undefined && whole !== undefined
          ? text("phone-facts-money-comma", { part: decimal(part), whole: decimal(whole) })
          : text("phone-facts-money-unread", { example: shown(3500) });
      }}
    />
  );
}

/** A fact that is typed, understood and shown as it was understood once the field is left. */
function ReadFact({
  visit,
  put,
  label,
  value,
  read,
  bad,
}: {
  visit: Visit;
  put: string;
  label: string;
  value: string;
  read: (typed: string) => { value: Json; told: string } | null;
  bad: (typed: string) => string;
}) {
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <TextField
      id={put.replace("/", "-")}
      label={label}
      inputMode="decimal"
      value={wrong ?? value}
      problem={wrong === null ? null : bad(wrong)}
      onRecord={(typed) => {
        const nothing = { value: null, told: text("phone-item-nothing") };
        const understood = typed.trim() === "" ? nothing : read(typed);
        setWrong(understood === null ? typed : null);
        if (understood === null) return;
        const told = text("phone-item-recorded", { title: label, answer: understood.told });
        void visit.put([{ put, value: understood.value }], told);
      }}
    />
  );
}

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
