/** A deposit with its terms: how much, until when and on what condition it comes back, and the paper. */

import { useId, useState } from "preact/hooks";
import type { Leaving } from "../../../../shared/contract";
import { wholeAmount } from "../../../components/controls/amount-field";
import { TextField } from "../../../components/controls/text-field";
import { today } from "../../../device/local-time";
import { text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";
import { Photos } from "../../ad/photos";
import { unread } from "./bargain";

import "../../../components/photos/item-photos.css";

const START = "deal/deposit";

export function Deposit({ visit, leaving }: { visit: Visit; leaving: Leaving }) {
  const { amount, until, refund, photos, date } = leaving.deposit;
  const [isWrong, setWrong] = useState(false);
  const untilId = useId();
  const record = (typed: string) => {
    const found = wholeAmount(typed);
    setWrong(found === undefined);
    if (found === undefined) return;
    const day = found === null ? null : date || today();
    void visit.put([
      { put: `${START}/amount`, value: found },
      { put: `${START}/date`, value: day },
    ]);
  };
  return (
    <details class="part" open={amount !== null}>
      <summary>{text("leaving-deposit")}</summary>
      <p class="caution">{text("leaving-deposit-hint")}</p>
      <div class="leaving-two">
        <TextField
          id="deposit-amount"
          label={text("leaving-deposit-amount")}
          inputMode="decimal"
          value={amount === null ? "" : String(amount)}
          problem={isWrong ? unread(visit) : null}
          onRecord={record}
        />
        <div class="field">
          <label for={untilId}>{text("leaving-deposit-until")}</label>
          <input
            id={untilId}
            type="date"
            value={until}
            onChange={({ currentTarget }) =>
              void visit.put([{ put: `${START}/until`, value: currentTarget.value || null }])
            }
          />
        </div>
      </div>
      <TextField
        id="deposit-refund"
        label={text("leaving-deposit-refund")}
        value={refund}
        multiline
        onRecord={(words) =>
          void visit.put([{ put: `${START}/refund`, value: words.trim() || null }])
        }
      />
      <Photos
        visit={visit}
        under={`${START}/photos`}
        label={text("leaving-deposit-photo")}
        shown={photos}
        alt={(number) => text("leaving-deposit-photo-of", { number })}
      />
    </details>
  );
}
