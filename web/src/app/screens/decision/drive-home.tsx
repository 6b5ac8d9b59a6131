/** Whether it may be driven home, and why not: what was found, and what nobody looked at. */

import type { Assessment } from "../../../shared/contract";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { driveNow } from "../../visit/standing";
import type { Visit } from "../../visit/visit";
import { Fold } from "./fold";
import { ItemLinks, titleOf } from "./item-links";

export function DriveHome({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { answer, said, reasons } = driveNow(assessment);
  const { rules } = visit.bundle;
  const seen = reasons
    .filter((reason) => reason.seen)
    .map((reason) => ({ item: reason.item, text: say(reason.said, rules) }));
  // the same words about sixty items say nothing: what nobody looked at is a list of names
  const unseen = reasons
    .filter(({ seen }) => !seen)
    .map(({ item }) => ({ item, text: titleOf(visit, item) }));
  return (
    <section aria-label={text("phone-decide-drive")} data-answer={answer}>
      <Fold title={text("phone-decide-drive")}>
        <p class={`verdict verdict-${answer}`}>{say(said, rules)}</p>
        <ItemLinks visit={visit} rows={seen} more="phone-decide-more-reasons" />
        {unseen.length > 0 && (
          <>
            <h3>{text("grade-uninspected")}</h3>
            <ItemLinks visit={visit} rows={unseen} more="phone-decide-more-items" />
          </>
        )}
      </Fold>
      <a class="button" href={address({ screen: "drive", visit: visit.id })}>
        {text("phone-decide-drive-plan")}
      </a>
    </section>
  );
}
