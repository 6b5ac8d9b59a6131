/** What to look at in the minutes left. */

import { useState } from "preact/hooks";
import type { Assessment } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { MarkWord } from "../../components/grades/grade-mark";
import { text } from "../../text/catalogue";
import { withUnit } from "../../text/names";
import { say } from "../../text/say";
import { useNext } from "../../visit/use-next";
import type { Visit } from "../../visit/visit";
import { itemAddress, Shortened } from "./item-links";

import "../../../style/rows.css";

const TIMES = ["5", "15", "30", "60"];

export function NextChecks({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const [minutes, setMinutes] = useState("15");
  const next = useNext(visit, minutes, assessment);
  const { rules } = visit.bundle;
  return (
    <section aria-label={text("phone-decide-next")}>
      <h2>{text("phone-decide-next")}</h2>
      <ChoiceButtons
        label={text("phone-decide-minutes")}
        className="times"
        options={TIMES.map((id) => ({ id, title: withUnit(id, "min") }))}
        chosen={minutes}
        onChoose={setMinutes}
      />
      {next !== null && <p>{say(next.said, rules)}</p>}
      {next !== null && (
        <Shortened
          rows={next.items}
          more="phone-decide-more-items"
          list={(shown) => (
            <ol class="rows">
              {shown.map(({ item, said }) => (
                <li key={item}>
                  <a class="row" href={itemAddress(visit, item)}>
                    <span class="row-title">{say(said, rules)}</span>
                    <span class="row-detail">
                      <MarkWord id="look_here" />
                    </span>
                  </a>
                </li>
              ))}
            </ol>
          )}
        />
      )}
      <p>{say(assessment.coverage.said, rules)}</p>
    </section>
  );
}
