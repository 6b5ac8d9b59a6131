/** Answers that contradict one another: until somebody settles them, none of them counts as fine. */

import type { Assessment } from "../../../shared/contract";
import { MarkWord } from "../../components/grades/grade-mark";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import type { Visit } from "../../visit/visit";
import { itemAddress, titleOf } from "./item-links";

export function Questions({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const questions = assessment.questions ?? [];
  if (questions.length === 0) return null;
  return (
    <section aria-label={text("phone-decide-questions")}>
      <h2>{text("phone-decide-questions")}</h2>
      <p>{text("phone-decide-questions-mean")}</p>
      <ul class="reasons-list">
        {questions.map(({ id, items, said }) => (
          <li key={id}>
            <p>
              <MarkWord id="look_here" /> {say(said, visit.bundle.rules)}
            </p>
            {items.map((item) => (
              <a key={item} href={itemAddress(visit, item)}>
                {titleOf(visit, item)}
              </a>
            ))}
          </li>
        ))}
      </ul>
    </section>
  );
}
