/** Both sides of a conflict, with who, when and photos: one tap settles it, a third answer too. */

import type { Item } from "../../../shared/contract";
import { MarkWord } from "../../components/grades/grade-mark";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { text } from "../../text/catalogue";
import {
  type Conflict,
  conflictsOf,
  type Settled,
  type Side,
  settledOf,
  settlingChanges,
} from "../../visit/together/conflicts";
import { togetherOf } from "../../visit/together/together";
import type { Visit } from "../../visit/visit";

function nameOf({ item, about }: Conflict): string {
  return item === null
    ? about
    : text("together-conflict-title", { title: item.title, what: about });
}

function SideOf({ visit, conflict, side }: { visit: Visit; conflict: Conflict; side: Side }) {
  const { said, who, when, isOwn, photos } = side;
  const what = nameOf(conflict);
  const settle = () =>
    void visit.put(
      settlingChanges(visit, conflict.put, side.value, side.at),
      text("phone-item-recorded", { title: what, answer: said }),
    );
  return (
    <li class="side" data-side={isOwn ? "mine" : "theirs"}>
      <p class="side-said">{said}</p>
      <p class="hint">{text("together-by", { who, when })}</p>
      {photos.length > 0 && (
        <p class="side-photos">
          {photos.map((sha256, index) => (
            <PhotoPicture
              key={sha256}
              sha256={sha256}
              alt={text("phone-photo-alt", { title: `${what}, ${who}`, number: index + 1 })}
            />
          ))}
        </p>
      )}
      <button
        type="button"
        class="choice"
        aria-label={
          isOwn
            ? text("together-keep-mine-which", { value: said, what })
            : text("together-keep-theirs-which", { who, value: said, what })
        }
        onClick={settle}
      >
        {isOwn ? text("together-keep-mine") : text("together-keep-theirs", { who })}
      </button>
    </li>
  );
}

/** `isNamed`: away from its card, a conflict says which check it is about. */
export function ConflictOf({
  visit,
  conflict,
  isNamed,
}: {
  visit: Visit;
  conflict: Conflict;
  isNamed: boolean;
}) {
  const what = nameOf(conflict);
  const neither = () =>
    void visit.put(
      settlingChanges(visit, conflict.put, null, ""),
      text("phone-item-recorded", { title: what, answer: text("phone-item-nothing") }),
    );
  return (
    <section class="sides-of" data-conflict={conflict.put} aria-label={what}>
      <h4>{isNamed ? what : conflict.about}</h4>
      <ul class="sides">
        {conflict.sides.map((side) => (
          <SideOf key={side.at} visit={visit} conflict={conflict} side={side} />
        ))}
      </ul>
      <button type="button" class="more" onClick={neither}>
        {text("together-neither")}
        <span class="visually-hidden">: {what}</span>
      </button>
    </section>
  );
}

export function settledText({ isOwn, who, when, about, said }: Settled): string {
  const args = { when, what: about, value: said };
  return isOwn ? text("together-settled-you", args) : text("together-settled", { who, ...args });
}

/** On a check's card: what stands unsettled there, and who settled what had been. */
export function ItemConflicts({ visit, item }: { visit: Visit; item: Item }) {
  const people = togetherOf(visit).people.value;
  if (people === null) return null;
  const conflicts = conflictsOf(visit, people, item.id);
  const settled = settledOf(visit, people, item.id);
  return (
    <>
      {conflicts.length > 0 && (
        <div class="conflict">
          <p>
            <MarkWord id="look_here" /> {text("together-conflict")}
          </p>
          {conflicts.map((conflict) => (
            <ConflictOf key={conflict.put} visit={visit} conflict={conflict} isNamed={false} />
          ))}
        </div>
      )}
      {settled.map((one) => (
        <p key={one.put} class="hint" data-settled={one.put}>
          {settledText(one)}
        </p>
      ))}
    </>
  );
}
