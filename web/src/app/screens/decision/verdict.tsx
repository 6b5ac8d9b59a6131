/** The answers, worst first, in one paragraph and one by one; a tap leads to the proof. */

import type { Assessment, Clause, Question } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { driveNow, foundLine } from "../../visit/standing";
import type { Visit } from "../../visit/visit";
import { ItemLinks, itemAddress } from "./item-links";

const QUESTIONS: Question[] = ["buy", "drive", "price", "now"];

function Sentence({ visit, clause }: { visit: Visit; clause: Clause }) {
  const words = say(clause.said, visit.bundle.rules);
  return clause.item === "" ? words : <a href={itemAddress(visit, clause.item)}>{words}</a>;
}

/** What is to be done now, after the first of it. */
function proofs(visit: Visit, clauses: Clause[]) {
  return clauses.map(({ item, said }) => ({ item, text: say(said, visit.bundle.rules) }));
}

/** The four answers at the inspection, worst first, in one paragraph and one by one. */
function AtTheInspection({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { decision } = assessment;
  const { answers } = decision;
  const [first, ...further] = decision.spoken;
  return (
    <>
      <p class={`verdict spoken verdict-${decision.drive}`}>
        {first !== undefined && (
          <strong>
            <Sentence visit={visit} clause={first} />
          </strong>
        )}
        {further.map((clause) => (
          <>
            {" "}
            <Sentence visit={visit} clause={clause} />
          </>
        ))}
      </p>
      <dl class="four-answers">
        {QUESTIONS.map((question) => {
          const [first, ...further] = answers[question] ?? [];
          return (
            <>
              <dt>{text(`phone-decide-ask-${question}`)}</dt>
              <dd>
                {first !== undefined && <Sentence visit={visit} clause={first} />}
                {question === "now" && further.length > 0 && (
                  <ItemLinks
                    visit={visit}
                    rows={proofs(visit, further)}
                    more="phone-decide-more-items"
                  />
                )}
              </dd>
            </>
          );
        })}
      </dl>
    </>
  );
}

/** The verdict as it stands: after work with proof the drive, and below it what was found. */
export function Verdict({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const found = foundLine(assessment, visit.value("about/started"));
  const { answer, said } = driveNow(assessment);
  const atTheInspection = <AtTheInspection visit={visit} assessment={assessment} />;
  return (
    <section aria-label={text("phone-decide-verdict")} data-buy={assessment.decision.buy}>
      {found === "" ? (
        atTheInspection
      ) : (
        <>
          <p class={`verdict spoken verdict-${answer}`}>
            <strong>{say(said, visit.bundle.rules)}</strong>
          </p>
          <details class="found">
            <summary>{found}</summary>
            {atTheInspection}
          </details>
        </>
      )}
      <p class="caution">{text("judge-drive-caution")}</p>
    </section>
  );
}
