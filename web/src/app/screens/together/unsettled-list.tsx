/** Before signing: what two phones have not settled between them. */

import { MarkWord } from "../../components/grades/grade-mark";
import { address } from "../../state/routes";
import { syncState } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { togetherOf } from "../../visit/together/together";
import { isSettled, unsettledOf } from "../../visit/together/unsettled";
import type { Visit } from "../../visit/visit";
import { stagesOf } from "../../visit/walk-order";

export function UnsettledList({ visit }: { visit: Visit }) {
  const people = togetherOf(visit).people.value;
  if (people === null) return null;
  const unsettled = unsettledOf(visit, people, stagesOf(visit), syncState.value);
  if (isSettled(unsettled)) return null;
  const { conflicts, stages, heard, unreached } = unsettled;
  const words = [
    ...heard.map((one) => text("together-heard", one)),
    ...(unreached === null ? [] : [text("together-unheard", { when: unreached })]),
  ];
  // how old the last of the other phone is, is said in any case, and is no trouble by itself
  if (conflicts.length + stages.length === 0) {
    return (
      <>
        {words.map((one) => (
          <p key={one} class="hint" data-unsettled="0">
            {one}
          </p>
        ))}
      </>
    );
  }
  return (
    <section class="conflict" data-unsettled={conflicts.length + stages.length}>
      <h2>{text("together-unsettled")}</h2>
      <ul class="unsettled">
        {conflicts.length > 0 && (
          <li>
            <MarkWord id="look_here" /> {text("together-conflicts", { count: conflicts.length })}
          </li>
        )}
        {stages.map(({ stage, title, who, done, total }) => (
          <li key={stage}>
            {text("together-unsettled-stage", { stage: title, who, done, total })}
          </li>
        ))}
        {words.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      <a class="button" href={address({ screen: "two", visit: visit.id })}>
        {text("together-unsettled-see")}
      </a>
    </section>
  );
}
