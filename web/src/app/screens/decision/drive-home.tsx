/** Whether it may be driven home, and why not: what was found, and what nobody looked at. */

import type { Assessment } from "../../../shared/contract";
import { words } from "../../text/en";
import type { Visit } from "../../visit/visit";
import { ItemLinks, titleOf } from "./item-links";

const texts = words.decision;

export function DriveHome({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { answer, text, reasons, caution } = assessment.drive_home;
  // the same words about sixty items say nothing: what nobody looked at is a list of names
  const unseen = reasons
    .filter(({ seen }) => !seen)
    .map(({ item }) => ({ item, text: titleOf(visit, item) }));
  return (
    <section aria-label={texts.drive} data-answer={answer}>
      <h2>{texts.drive}</h2>
      <p class={`verdict verdict-${answer}`}>{text}</p>
      <ItemLinks visit={visit} rows={reasons.filter(({ seen }) => seen)} more={texts.moreReasons} />
      {unseen.length > 0 && (
        <>
          <h3>{texts.unseen}</h3>
          <ItemLinks visit={visit} rows={unseen} more={texts.moreItems} />
        </>
      )}
      <p class="caution">{caution}</p>
    </section>
  );
}
