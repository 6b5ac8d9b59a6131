/** One must-have or reason to leave: how it stands, what tells, and a tap where only a person can. */

import type { WantJudgment } from "../../../../shared/contract";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { text } from "../../../text/catalogue";
import { say } from "../../../text/say";
import { drop, moveUp, type Want } from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";
import { itemAddress, titleOf } from "../../decision/item-links";
import { standingWord, wantTitle } from "./names";

interface Props {
  visit: Visit;
  want: Want;
  judged: WantJudgment | undefined;
  /** Of a must-have: all of them, in their order. */
  musts: Want[];
}

/** What only the buyer knows: a tap answers it, a second one takes that back. */
function Asked({ visit, want, title }: { visit: Visit; want: Want; title: string }) {
  const ask = visit.bundle.rules.wants?.find(({ id }) => id === want.id)?.ask;
  const label = ask ?? text(want.side === "must" ? "purpose-ask-must" : "purpose-ask-leave");
  const answers = { yes: text("purpose-yes"), no: text("purpose-no") };
  const choose = (id: string) => {
    const so = id === "yes";
    void visit.put(
      [{ put: `wants/${want.id}/so`, value: want.so === so ? null : so }],
      text("phone-item-recorded", { title, answer: answers[id as "yes" | "no"] }),
    );
  };
  return (
    <>
      <p>{label}</p>
      <ChoiceButtons
        className="want-so"
        label={`${title}: ${label}`}
        options={Object.entries(answers).map(([id, answer]) => ({ id, title: answer }))}
        chosen={want.so === null ? null : want.so ? "yes" : "no"}
        onChoose={choose}
      />
    </>
  );
}

function Checks({ visit, judged }: { visit: Visit; judged: WantJudgment }) {
  const items = judged.open.length > 0 ? judged.open : judged.items;
  if (items.length === 0) return null;
  return (
    <details>
      <summary>
        {judged.open.length > 0
          ? text("purpose-open", { count: judged.open.length })
          : text("purpose-checks")}
      </summary>
      <ul class="want-checks">
        {items.map((item) => (
          <li key={item}>
            <a href={itemAddress(visit, item)}>{titleOf(visit, item)}</a>
          </li>
        ))}
      </ul>
    </details>
  );
}

export function WantRow({ visit, want, judged, musts }: Props) {
  const title = wantTitle(visit, want, judged);
  const place = musts.indexOf(want);
  const standing = judged?.standing ?? "open";
  return (
    <li class="want" data-want={want.id} data-standing={standing} aria-label={title}>
      <p class="want-head">
        <span class="want-title">
          {want.side === "must" && `${place + 1}. `}
          {title}
        </span>
        <span class={`want-state want-${standing}`}>
          {standingWord({ side: want.side, standing })}
        </span>
      </p>
      {judged?.said !== undefined && <p>{say(judged.said, visit.bundle.rules)}</p>}
      {judged?.asks === true && <Asked visit={visit} want={want} title={title} />}
      {judged !== undefined && <Checks visit={visit} judged={judged} />}
      <p class="want-deeds">
        {place > 0 && (
          <button
            type="button"
            onClick={() =>
              void visit.put(moveUp(musts, want.id), text("purpose-moved", { want: title, place }))
            }
          >
            {text("purpose-up")}
            <span class="visually-hidden">: {title}</span>
          </button>
        )}
        <button
          type="button"
          onClick={() =>
            void visit.put(
              drop(visit.besideItems(), want.id),
              text("purpose-removed", { want: title }),
            )
          }
        >
          {text("purpose-remove")}
          <span class="visually-hidden">: {title}</span>
        </button>
      </p>
    </li>
  );
}
