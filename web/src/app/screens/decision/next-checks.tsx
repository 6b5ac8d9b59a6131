/** What to look at in the minutes left. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, NextChecks as Next } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { words } from "../../text/en";
import type { Visit } from "../../visit/visit";
import { itemAddress, Shortened } from "./item-links";

import "../../../style/rows.css";

const texts = words.decision;
const TIMES = ["5", "15", "30", "60"];

/** What the judge would look at next; null while it cannot say. */
function useNext(visit: Visit, minutes: string, assessment: Assessment): Next | null {
  const [next, setNext] = useState<Next | null>(null);
  useEffect(() => {
    let isThere = true;
    void visit.next(minutes).then((answer) => {
      if (isThere) setNext(answer);
    });
    return () => {
      isThere = false;
    };
  }, [visit, minutes, assessment]);
  return next;
}

export function NextChecks({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const [minutes, setMinutes] = useState("15");
  const next = useNext(visit, minutes, assessment);
  return (
    <section aria-label={texts.next}>
      <h2>{texts.next}</h2>
      <ChoiceButtons
        label={texts.minutes}
        className="times"
        options={TIMES.map((id) => ({ id, title: texts.minutesShort(id) }))}
        chosen={minutes}
        onChoose={setMinutes}
      />
      {next !== null && <p>{next.text}</p>}
      {next !== null && (
        <Shortened
          rows={next.items}
          more={texts.moreItems}
          list={(shown) => (
            <ol class="rows">
              {shown.map(({ item, text }) => (
                <li key={item}>
                  <a class="row" href={itemAddress(visit, item)}>
                    <span class="row-title">{text}</span>
                  </a>
                </li>
              ))}
            </ol>
          )}
        />
      )}
      <p>{assessment.coverage.text}</p>
    </section>
  );
}
