/** A car that is passed: what would bring one back, until when, and each time that it was. */

import { useId, useState } from "preact/hooks";
import type { Leaving, Passing } from "../../../../shared/contract";
import { AmountField, wholeAmount } from "../../../components/controls/amount-field";
import { text } from "../../../text/catalogue";
import { money, readableDay } from "../../../text/formats";
import { passCar, unpassCar } from "../../../visit/after/deal";
import type { Visit } from "../../../visit/visit";
import { unread } from "./bargain";

/** "Call me at $2,000 · until Dec 31, 2026": what of it was said. */
export function passingLine({ price, until }: Passing, currency: string): string {
  return [
    price === null ? "" : text("leaving-passed-price", { price: money(price, currency) }),
    until === "" ? "" : text("leaving-passed-until", { until: readableDay(until) }),
  ]
    .filter((part) => part !== "")
    .join(" · ");
}

export function PassingNote({ passing, currency }: { passing: Passing; currency: string }) {
  return (
    <>
      <strong>{text("leaving-passed", { date: readableDay(passing.date) })}</strong>
      <span>{passingLine(passing, currency)}</span>
      {passing.why !== "" && <span class="leaving-why">{passing.why}</span>}
    </>
  );
}

export function Passes({ visit, leaving: { passed } }: { visit: Visit; leaving: Leaving }) {
  if (passed.length === 0) return null;
  return (
    <section aria-label={text("leaving-passes")}>
      <ul class="leaving-passed">
        {passed.map((passing) => (
          <li key={passing.id} data-passed={passing.id}>
            <PassingNote passing={passing} currency={visit.text("about/currency")} />
            <button
              type="button"
              class="link"
              onClick={() =>
                void visit.put(
                  unpassCar(passing.id, passed.length === 1),
                  text("leaving-passed-removed"),
                )
              }
            >
              {text("leaving-remove")}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

export function PassForm({ visit }: { visit: Visit }) {
  const [price, setPrice] = useState("");
  const [why, setWhy] = useState("");
  const [until, setUntil] = useState("");
  const [isEmpty, setEmpty] = useState(false);
  const [whyId, untilId] = [useId(), useId()];
  const amount = wholeAmount(price);
  const pass = async () => {
    const isNothing = amount === null && why.trim() === "" && until === "";
    setEmpty(isNothing);
    if (amount === undefined || isNothing) return;
    const changes = passCar(amount, why.trim(), until);
    if (await visit.put(changes, text("leaving-passed-noted"))) {
      setPrice("");
      setWhy("");
      setUntil("");
    }
  };
  return (
    <section aria-label={text("leaving-pass")}>
      <h2>{text("leaving-pass")}</h2>
      <p class="hint">{text("leaving-pass-hint")}</p>
      {isEmpty && (
        <p class="wrong" role="alert">
          {text("leaving-pass-empty")}
        </p>
      )}
      <div class="leaving-two">
        <AmountField
          label={text("leaving-pass-price")}
          typed={price}
          onType={setPrice}
          problem={amount === undefined ? unread(visit) : null}
        />
        <div class="field">
          <label for={untilId}>{text("leaving-pass-until")}</label>
          <input
            id={untilId}
            type="date"
            value={until}
            onInput={({ currentTarget }) => setUntil(currentTarget.value)}
          />
        </div>
      </div>
      <div class="field">
        <label for={whyId}>{text("leaving-pass-why")}</label>
        <textarea
          id={whyId}
          rows={2}
          value={why}
          onInput={({ currentTarget }) => setWhy(currentTarget.value)}
        />
      </div>
      <button type="button" onClick={() => void pass()}>
        {text("leaving-pass-go")}
      </button>
    </section>
  );
}
