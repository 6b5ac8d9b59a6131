/** Facts of the car and the visit that are typed: text, a whole number, money. */

import { useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import { TextField } from "../../components/controls/text-field";
import { page } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { money } from "../../text/formats";
import { decimal } from "../../text/measures";
import { region } from "../../text/region";
import { amounts } from "../../text/typed";
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
export function ReadFact({
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
