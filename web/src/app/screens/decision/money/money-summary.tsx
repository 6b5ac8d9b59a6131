/** What it will cost and what it is worth; each figure opens what it was made of. */

import type { Assessment } from "../../../../shared/contract";
import { address } from "../../../state/routes";
import { catalogue, text } from "../../../text/catalogue";
import { listed, money } from "../../../text/formats";
import { argument, say } from "../../../text/say";
import type { Visit } from "../../../visit/visit";
import { Fold } from "../fold";
import { itemAddress, titleOf } from "../item-links";

function assumedName(name: string): string {
  const id = `phone-decide-assumed-${name.replaceAll("_", "-")}`;
  return catalogue.has(id) ? catalogue.find(id) : name;
}

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
  const { totals, reserve, price, currency, said, assumed } = assessment.money;
  const { rules } = visit.bundle;
  const due = assessment.baseline.filter((row) => row.due);
  const inCurrency = (amount: number | null | undefined) =>
    amount == null ? text("phone-decide-unknown") : money(amount, currency);
  const top = ({ value, walk_away }: typeof price) =>
    value !== null && walk_away === null ? text("phone-decide-no-top") : inCurrency(walk_away);
  return (
    <section aria-label={text("phone-decide-money")}>
      <Fold title={text("phone-decide-money")}>
        <p>{say(said, rules)}</p>
        <dl class="sums">
          <dt>{text("phone-decide-worth")}</dt>
          <dd>{inCurrency(price.worth)}</dd>
          <dt>{text("phone-decide-work")}</dt>
          <dd>
            {text("phone-decide-range", {
              about: inCurrency(totals.expected),
              low: inCurrency(totals.low),
              high: inCurrency(totals.high),
            })}
          </dd>
          <dt>{text("phone-decide-reserve")}</dt>
          <dd>{inCurrency(reserve.amount)}</dd>
          <dt>{text("phone-decide-cushion")}</dt>
          <dd>{inCurrency(price.margin)}</dd>
          <dt>{text("phone-decide-asking")}</dt>
          <dd>{inCurrency(price.asking)}</dd>
          <dt>{text("phone-decide-top-price")}</dt>
          <dd class="figure">{top(price)}</dd>
        </dl>
        <p>{say(price.said, rules)}</p>
        {assumed.length > 0 && (
          <p class="hint">
            {text("phone-decide-assumed", { names: listed(assumed.map(assumedName)) })}{" "}
            <a href={address({ screen: "facts", visit: visit.id })}>{text("phone-change")}</a>
          </p>
        )}
        <Folded
          title={text("phone-decide-held", { count: reserve.items.length })}
          rows={reserve.items.map(({ item, amount }) => ({
            id: item,
            text: text("phone-decide-held-item", {
              title: titleOf(visit, item),
              amount: inCurrency(amount),
            }),
            to: itemAddress(visit, item),
          }))}
        />
        <Folded
          title={text("phone-decide-due", { count: due.length })}
          rows={due.map((row) => ({
            id: row.id,
            text: text("judge-due-line", {
              title: argument(row.title, rules),
              why: say(row.said, rules),
            }),
            to: itemAddress(visit, row.item),
          }))}
        />
      </Fold>
    </section>
  );
}
