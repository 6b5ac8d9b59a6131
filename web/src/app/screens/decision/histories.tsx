/** What may have happened to the car and nobody tells: in words, with the signs for and against. */

import type { Assessment, HistorySign } from "../../../shared/contract";
import { MarkWord } from "../../components/grades/grade-mark";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import type { Visit } from "../../visit/visit";
import { Fold } from "./fold";
import { ItemLinks, itemAddress, titleOf } from "./item-links";

/** What stands open; what is only not ruled out is one line, and a tap tells the rest. */
const OPEN = ["suspected", "likely", "strong"];

function Signs({ visit, title, signs }: { visit: Visit; title: string; signs: HistorySign[] }) {
  if (signs.length === 0) return null;
  const rows = signs.map(({ item, said }) => ({
    item,
    text: text("histories-sign", {
      item: titleOf(visit, item),
      said: say(said, visit.bundle.rules),
    }),
  }));
  return (
    <>
      <h3>{title}</h3>
      <ItemLinks visit={visit} rows={rows} more="phone-decide-more-items" />
    </>
  );
}

export function Histories({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const histories = assessment.histories ?? [];
  if (histories.length === 0) return null;
  return (
    <section aria-label={text("histories-title")}>
      <Fold title={text("histories-title")}>
        {histories.map(({ id, standing, said, speak_for, speak_against, next }) => (
          <details key={id} data-standing={standing} open={OPEN.includes(standing)}>
            <summary>{say(said, visit.bundle.rules)}</summary>
            <Signs visit={visit} title={text("histories-for")} signs={speak_for} />
            <Signs visit={visit} title={text("histories-against")} signs={speak_against} />
            {next !== null && (
              <p>
                <a href={itemAddress(visit, next)}>
                  <MarkWord id="look_here" /> {titleOf(visit, next)}
                </a>
              </p>
            )}
          </details>
        ))}
      </Fold>
    </section>
  );
}
