/** The reasons to pay less: four sums at a glance, each opens its reasons with their places. */

import type { Assessment } from "../../../../shared/contract";
import { MARK_OF_GRADE } from "../../../../shared/marks";
import { MarkWord } from "../../../components/grades/grade-mark";
import { text } from "../../../text/catalogue";
import { about } from "../../../text/estimates";
import { listed } from "../../../text/formats";
import { type PriceReason, payingLess } from "../../../visit/paying-less";
import type { Visit } from "../../../visit/visit";
import { itemAddress, titleOf } from "../item-links";

/** From how many pieces on the whole is cheaper: a repair by the piece says so. */
function tips({ money: { lines } }: Assessment, id: string): string {
  const count = lines.find((line) => line.id === id)?.tips_at;
  return count === undefined ? "" : text("judge-wire-tips", { count });
}

function Reason({
  visit,
  assessment,
  reason,
}: {
  visit: Visit;
  assessment: Assessment;
  reason: PriceReason;
}) {
  const { id, title, where, why, amount, grade, covers } = reason;
  const more = [why, tips(assessment, id)].filter((part) => part !== "").join(" ");
  const [first] = covers;
  const told = (
    <span>
      <span class="row-title">{title}</span> {where !== "" && <span class="hint">{where}</span>}
      {grade !== null && (
        <span class="hint">
          <MarkWord id={MARK_OF_GRADE[grade]} />
        </span>
      )}
      {more !== "" && <span class="hint">{more}</span>}
    </span>
  );
  const sum = <strong class="amount">{about(amount, assessment.money.currency)}</strong>;
  return first === undefined ? (
    <p class="reason-line">
      {told} {sum}
    </p>
  ) : (
    <a class="reason-line" href={itemAddress(visit, first)}>
      {told} {sum}
    </a>
  );
}

export function PayingLess({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const groups = payingLess(visit, assessment);
  if (groups.length === 0) return null;
  const { currency, totals, unpriced } = assessment.money;
  return (
    <section aria-label={text("phone-decide-arguments")} class="paying-less">
      <h2>{text("phone-decide-arguments")}</h2>
      <div class="groups">
        {groups.map(({ group, amount, count, reasons }) => {
          const head = (
            <>
              <span class="group-name">{text(`phone-decide-group-${group}`)}</span>{" "}
              <span class="hint">{text("phone-decide-group-count", { count })}</span>{" "}
              <strong class="amount">{about(amount, currency)}</strong>
            </>
          );
          return reasons.length === 0 ? (
            <p key={group} class="group" data-group={group}>
              {head}
            </p>
          ) : (
            <details key={group} class="group" data-group={group}>
              <summary>{head}</summary>
              <ul class="reasons-list">
                {reasons.map((reason) => (
                  <li key={reason.id}>
                    <Reason visit={visit} assessment={assessment} reason={reason} />
                  </li>
                ))}
              </ul>
            </details>
          );
        })}
      </div>
      <p>{text("phone-decide-group-all", { amount: about(totals.expected, currency) })}</p>
      {unpriced.length > 0 && (
        <p class="hint">
          {text("phone-decide-group-none", {
            titles: listed(unpriced.map((item) => titleOf(visit, item))),
          })}
        </p>
      )}
    </section>
  );
}
