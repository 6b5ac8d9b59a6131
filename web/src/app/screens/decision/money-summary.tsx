/** What it will cost and what it is worth; each figure opens what it was made of. */

import type { Assessment } from "../../../shared/contract";
import { address } from "../../state/routes";
import { words } from "../../text/en";
import { money } from "../../text/numbers";
import type { Visit } from "../../visit/visit";
import { itemAddress, titleOf } from "./item-links";

const texts = words.decision;

/** Where a figure comes from: a list that a tap opens. */
function Folded({
  title,
  rows,
}: {
  title: string;
  rows: { id: string; text: string; to: string }[];
}) {
  if (rows.length === 0) return null;
  return (
    <details>
      <summary>{title}</summary>
      <ul class="reasons-list">
        {rows.map(({ id, text, to }) => (
          <li key={id}>
            <a href={to}>{text}</a>
          </li>
        ))}
      </ul>
    </details>
  );
}

export function MoneySummary({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { totals, reserve, price, currency, text, assumed } = assessment.money;
  const due = assessment.baseline.filter((row) => row.due);
  const inCurrency = (amount: number | null | undefined) =>
    amount == null ? texts.unknown : money(amount, currency);
  return (
    <section aria-label={texts.money}>
      <h2>{texts.money}</h2>
      <p>{text}</p>
      <dl class="sums">
        <dt>{texts.work}</dt>
        <dd>{texts.range(inCurrency(totals.low), inCurrency(totals.high))}</dd>
        <dt>{texts.reserve}</dt>
        <dd>{inCurrency(reserve.amount)}</dd>
        <dt>{texts.asking}</dt>
        <dd>{inCurrency(price.asking)}</dd>
        <dt>{texts.walkAway}</dt>
        <dd class="figure">{inCurrency(price.walk_away)}</dd>
      </dl>
      <p>{price.text}</p>
      {assumed.length > 0 && (
        <p class="hint">
          {texts.assumed}: {assumed.map((name) => texts.names[name] ?? name).join(", ")}.{" "}
          <a href={address({ screen: "facts", visit: visit.id })}>{words.change}</a>
        </p>
      )}
      <Folded
        title={texts.held(reserve.items.length)}
        rows={reserve.items.map(({ item, amount }) => ({
          id: item,
          text: `${titleOf(visit, item)}, ${inCurrency(amount)}`,
          to: itemAddress(visit, item),
        }))}
      />
      <Folded
        title={texts.due(due.length)}
        rows={due.map(({ id, item, text }) => ({ id, text, to: itemAddress(visit, item) }))}
      />
      <h3>{texts.arguments}</h3>
      <ul class="reasons-list">
        {(price.arguments ?? []).map((argument) => (
          <li key={`${argument.item} ${argument.text}`}>{argument.text}</li>
        ))}
      </ul>
    </section>
  );
}
