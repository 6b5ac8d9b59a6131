/** What the finished car is worth, and what of it goes where; the asked price stands on the bar. */

import type { Assessment } from "../../../../shared/contract";
import { text } from "../../../text/catalogue";
import { money } from "../../../text/formats";

/** The bar's own units. */
const WIDTH = 1000;
const HEIGHT = 56;
const MARK = 10;

interface Part {
  name: "top-price" | "work" | "reserve" | "cushion";
  amount: number;
}

/** The parts of the bar; together what the car is worth, or more where nothing is left to pay. */
function partsOf({ price, totals, reserve }: Assessment["money"]): Part[] {
  if (price.worth == null || price.walk_away === null) return [];
  return [
    { name: "top-price", amount: price.walk_away },
    { name: "work", amount: totals.expected },
    { name: "reserve", amount: reserve.amount },
    { name: "cushion", amount: price.margin },
  ];
}

export function MoneyBar({ assessment }: { assessment: Assessment }) {
  const parts = partsOf(assessment.money);
  if (parts.length === 0) return null;
  const { currency, price } = assessment.money;
  const { asking } = price;
  const total = parts.reduce((sum, { amount }) => sum + amount, 0);
  const scale = WIDTH / Math.max(total, asking ?? 0, 1);
  let from = 0;
  const bars = parts.map((part) => {
    const start = from;
    from += part.amount * scale;
    return { ...part, start, width: part.amount * scale };
  });
  const asked = asking === null ? null : Math.min(WIDTH - MARK, asking * scale);
  return (
    <section aria-label={text("phone-decide-bar")} class="money-bar">
      <h2>{text("phone-decide-bar")}</h2>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        {bars.map(({ name, start, width }) => (
          <rect key={name} class={`bar-${name}`} x={start} y={8} width={width} height={40} />
        ))}
        {asked !== null && <rect class="bar-asked" x={asked} y={0} width={MARK} height={HEIGHT} />}
      </svg>
      <dl class="sums">
        {bars.map(({ name, amount }) => (
          <div key={name}>
            <dt>
              <svg viewBox="0 0 16 16" aria-hidden="true">
                <rect class={`bar-${name}`} width="16" height="16" />
              </svg>{" "}
              {text(`phone-decide-${name}`)}
            </dt>
            <dd>{money(amount, currency)}</dd>
          </div>
        ))}
        {asking !== null && (
          <div>
            <dt>
              <svg viewBox="0 0 16 16" aria-hidden="true">
                <rect class="bar-asked" x="4" width="8" height="16" />
              </svg>{" "}
              {text("phone-decide-asking")}
            </dt>
            <dd>{money(asking, currency)}</dd>
          </div>
        )}
      </dl>
    </section>
  );
}
