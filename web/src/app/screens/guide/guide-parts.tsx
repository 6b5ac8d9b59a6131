/** Two minutes before the first car: what the marks, the line at the top and the answers mean. */

import type { MarkId } from "../../../shared/marks";
import type { MessageId } from "../../../shared/said";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { MarkWord } from "../../components/grades/grade-mark";
import { address } from "../../state/routes";
import { isAlone } from "../../state/this-page";
import { text } from "../../text/catalogue";

import "./guide.css";

const MARKS = [
  ["open", "phone-guide-open"],
  ["fine", "phone-guide-ok"],
  ["minor", "phone-guide-minor"],
  ["major", "phone-guide-major"],
  ["dangerous", "phone-guide-unsafe"],
  ["not_checked", "phone-guide-unchecked"],
] as const satisfies readonly (readonly [MarkId, MessageId])[];

const ANSWERS = [
  ["phone-decide-ask-buy", "phone-guide-buy"],
  ["phone-decide-ask-drive", "phone-guide-drive"],
  ["phone-decide-ask-price", "phone-guide-price"],
  ["phone-decide-ask-now", "phone-guide-now"],
] as const;

export function Guide() {
  const sync = [
    [text("phone-sync-phone"), "phone-guide-phone"],
    [text("phone-sync-sending", { number: 1, total: 9 }), "phone-guide-sending"],
    [text("phone-sync-server"), "phone-guide-server"],
  ] as const;
  const states = isAlone ? sync.slice(0, 1) : sync;
  return (
    <ScreenFrame
      title={text("phone-guide-title")}
      back={{ screen: "cars" }}
      foot={
        <a class="button main" href={address({ screen: "cars" })}>
          {text("phone-guide-done")}
        </a>
      }
    >
      <p>{text("phone-guide-intro")}</p>
      <section class="guide" aria-labelledby="guide-marks">
        <h2 id="guide-marks">{text("phone-guide-marks")}</h2>
        <dl>
          {MARKS.map(([mark, means]) => (
            <div key={mark}>
              <dt>
                <MarkWord id={mark} />
              </dt>
              <dd>{text(means)}</dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="guide" aria-labelledby="guide-sync">
        <h2 id="guide-sync">{text("phone-guide-sync")}</h2>
        <dl>
          {states.map(([word, means]) => (
            <div key={means}>
              <dt>{word}</dt>
              <dd>{text(means)}</dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="guide" aria-labelledby="guide-answers">
        <h2 id="guide-answers">{text("phone-guide-answers")}</h2>
        <dl>
          {ANSWERS.map(([word, means]) => (
            <div key={word}>
              <dt>{text(word)}</dt>
              <dd>{text(means)}</dd>
            </div>
          ))}
        </dl>
      </section>
    </ScreenFrame>
  );
}
