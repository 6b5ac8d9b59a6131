/** What one settles before the talk: the opening price, when to leave, which reasons to name. */

import { useId, useState } from "preact/hooks";
import type { Assessment, Leaving } from "../../../../shared/contract";
import { wholeAmount } from "../../../components/controls/amount-field";
import { ToggleButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { text } from "../../../text/catalogue";
import { about } from "../../../text/estimates";
import { money } from "../../../text/formats";
import { leaveBy } from "../../../visit/after/deal";
import { payingLess } from "../../../visit/paying-less";
import type { Visit } from "../../../visit/visit";

/** As many stand on the card. */
const MOST = 3;

export function unread(visit: Visit): string {
  return text("leaving-price-unread", { example: money(3500, visit.text("about/currency")) });
}

function Opening({ visit, leaving }: { visit: Visit; leaving: Leaving }) {
  const [isWrong, setWrong] = useState(false);
  const record = (typed: string) => {
    const amount = wholeAmount(typed);
    setWrong(amount === undefined);
    if (amount !== undefined) void visit.put([{ put: "deal/opening", value: amount }]);
  };
  const over = leaving.is_over_top ? text("leaving-over-top") : null;
  return (
    <TextField
      id="leaving-opening"
      label={text("leaving-opening")}
      inputMode="decimal"
      value={leaving.is_typed ? String(leaving.opening) : ""}
      problem={isWrong ? unread(visit) : over}
      onRecord={record}
    />
  );
}

function LeaveBy({ visit, leaving }: { visit: Visit; leaving: Leaving }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{text("leaving-leave-by")}</label>
      <input
        id={id}
        type="time"
        value={leaving.leave_time}
        onChange={({ currentTarget }) => void visit.put(leaveBy(currentTarget.value))}
      />
    </div>
  );
}

function Reasons({
  visit,
  assessment,
  leaving,
}: {
  visit: Visit;
  assessment: Assessment;
  leaving: Leaving;
}) {
  const { currency } = assessment.money;
  const all = payingLess(visit, assessment)
    .flatMap(({ reasons }) => reasons)
    .filter(({ amount }) => amount > 0);
  if (all.length === 0) return <p class="hint">{text("leaving-reasons-none")}</p>;
  const picked = leaving.is_chosen ? leaving.reasons : [];
  const toggle = (id: string) => {
    // of more than there is room for the first gives way
    const next = picked.includes(id) ? picked.filter((one) => one !== id) : [...picked, id];
    const value = next.length === 0 ? null : next.slice(-MOST);
    void visit.put([{ put: "deal/reasons", value }]);
  };
  return (
    <details class="part">
      <summary>{text("leaving-reasons-more")}</summary>
      <p class="hint">{text("leaving-reasons-hint")}</p>
      <ToggleButtons
        className="leaving-reasons"
        label={text("leaving-reasons")}
        options={all.map(({ id, title, amount }) => ({
          id,
          title: `${title} · ${about(amount, currency)}`,
        }))}
        pressed={picked}
        onToggle={toggle}
      />
    </details>
  );
}

export function Bargain({
  visit,
  assessment,
  leaving,
}: {
  visit: Visit;
  assessment: Assessment | null;
  leaving: Leaving;
}) {
  return (
    <section aria-label={text("leaving-bargain")}>
      <h2>{text("leaving-bargain")}</h2>
      <div class="leaving-two">
        <Opening visit={visit} leaving={leaving} />
        <LeaveBy visit={visit} leaving={leaving} />
      </div>
      {!leaving.is_typed && leaving.opening !== null && (
        <p class="hint">
          {text("leaving-opening-suggested", {
            price: money(leaving.opening, visit.text("about/currency")),
          })}
        </p>
      )}
      {assessment !== null && <Reasons visit={visit} assessment={assessment} leaving={leaving} />}
      <p class="hint">{text("leaving-card-hint")}</p>
    </section>
  );
}
