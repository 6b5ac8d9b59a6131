/** What was asked and offered, a line each with its day, and a price that is named now. */

import { useState } from "preact/hooks";
import type { DealPrice, Leaving } from "../../../../shared/contract";
import { AmountField, wholeAmount } from "../../../components/controls/amount-field";
import { text } from "../../../text/catalogue";
import { clock, money, readableDay } from "../../../text/formats";
import { notePrice } from "../../../visit/after/deal";
import type { Visit } from "../../../visit/visit";
import { unread } from "./bargain";

function when({ date, time, of_ad }: DealPrice): string {
  if (date === "") return text("leaving-no-date");
  const parts = [readableDay(date), time && clock(time), of_ad && text("leaving-of-ad")];
  return parts.filter((part) => part !== "" && part !== false).join(" · ");
}

export function PriceList({
  visit,
  prices,
  canRemove = false,
}: {
  visit: Visit;
  prices: DealPrice[];
  canRemove?: boolean;
}) {
  const shown = (amount: number) => money(amount, visit.text("about/currency"));
  const remove = ({ put, amount }: DealPrice) =>
    void visit.put([{ put, value: null }], text("leaving-removed", { price: shown(amount) }));
  return (
    <ol class="leaving-prices" aria-label={text("leaving-prices")}>
      {prices.map((price) => (
        <li key={price.put} data-side={price.side}>
          <span>{text(`leaving-side-${price.side}`)}</span>
          <strong class="amount">{shown(price.amount)}</strong>
          <span class="hint">{when(price)}</span>
          {canRemove && price.put.startsWith("deal/") && (
            <button type="button" class="link" onClick={() => remove(price)}>
              {text("leaving-remove")}
              <span class="visually-hidden">: {shown(price.amount)}</span>
            </button>
          )}
        </li>
      ))}
    </ol>
  );
}

export function PriceForm({ visit }: { visit: Visit }) {
  const [typed, setTyped] = useState("");
  const [isAsked, setAsked] = useState(false);
  const amount = wholeAmount(typed);
  const isWrong = amount === undefined || (isAsked && amount === null);
  const note = async (side: DealPrice["side"]) => {
    setAsked(true);
    if (amount === undefined || amount === null) return;
    const price = money(amount, visit.text("about/currency"));
    if (await visit.put(notePrice(amount, side), text(`leaving-${side}-noted`, { price }))) {
      setTyped("");
      setAsked(false);
    }
  };
  return (
    <div class="leaving-price">
      <AmountField
        label={text("leaving-price")}
        typed={typed}
        onType={setTyped}
        problem={isWrong ? unread(visit) : null}
      />
      <button type="button" onClick={() => void note("asked")}>
        {text("leaving-asked")}
      </button>
      <button type="button" onClick={() => void note("offered")}>
        {text("leaving-offered")}
      </button>
    </div>
  );
}

export function Prices({ visit, leaving }: { visit: Visit; leaving: Leaving }) {
  return (
    <section aria-label={text("leaving-prices")}>
      <h2>{text("leaving-prices")}</h2>
      {leaving.prices.length === 0 ? (
        <p class="hint">{text("leaving-prices-none")}</p>
      ) : (
        <PriceList visit={visit} prices={leaving.prices} canRemove />
      )}
      <PriceForm visit={visit} />
    </section>
  );
}
