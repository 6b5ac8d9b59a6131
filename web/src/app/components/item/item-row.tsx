/** A check in one row: what it looks at, one tap when it is sound, and how it stands once answered. */

import type { Item } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { gradeName } from "../../text/names";
import { say } from "../../text/say";
import {
  choiceChanges,
  gradeChanges,
  photosOf,
  shownGrade,
  valueText,
} from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { unprovedOf, wantsProof } from "../../visit/walk-order";
import { GradeMark, MarkWord } from "../grades/grade-mark";
import { ItemGrade } from "../grades/item-grade";
import { PhotoPicture } from "../photos/photo-picture";
import { Cautions } from "./cautions";
import { domId } from "./dom-id";
import { LeftAtHome } from "./left-at-home";
import { isToldBefore } from "./reasons";

import "./item-row.css";

/** Photos that a row has room for. */
const THUMBS = 3;

interface RowProps {
  visit: Visit;
  item: Item;
  /** Cautions that the person meets here for the first time. */
  fresh: ReadonlySet<string>;
  onOpen: () => void;
}

/** Whether something on the card asks the person: two answers, or one that contradicts another. */
export function asks(visit: Visit, item: Item): boolean {
  if (Object.values(visit.cellsOf(item.id)).some(({ others }) => others.length > 0)) return true;
  return (visit.judged(item.id)?.problems ?? []).length > 0;
}

/** The one choice that says that it is sound; undefined where several do or none does. */
function soundChoice({ answers, choices }: Item): Item["choices"][number] | undefined {
  const sound = (choices ?? []).filter(({ grade }) => grade === "none");
  return answers.includes("choice") && sound.length === 1 ? sound[0] : undefined;
}

/** What the tap that calls it sound says: of a paper its own words. Null: its card is read first. */
function soundWords(item: Item): string | null {
  if (!wantsProof(item)) return gradeName("none");
  // nobody calls work done by a tap
  return unprovedOf([item]).length > 0 ? null : (soundChoice(item)?.title ?? null);
}

/** Sound by the one choice that says so, else by the grade. */
function recordSound(visit: Visit, item: Item): void {
  const only = soundChoice(item);
  const changes = only ? choiceChanges(visit, item, only.id) : gradeChanges(visit, item, "none");
  const answer = only?.title ?? gradeName("none");
  void visit.put(changes, text("phone-item-recorded", { title: item.title, answer }));
}

/** What to look for, and of a fault what was found: a row keeps its height under the thumb. */
function Detail({
  visit,
  item,
  fresh,
  isFaulty,
}: Omit<RowProps, "onOpen"> & { isFaulty: boolean }) {
  const put = `items/${item.id}/choice`;
  const choice = visit.value(put);
  const known = (item.cautions ?? []).filter((id) => !fresh.has(id));
  const titles = known.flatMap((id) => visit.bundle.cautions[id]?.title ?? []);
  const judged = visit.judged(item.id);
  const settled = judged?.by === "implied" ? judged.reasons[0] : undefined;
  if (settled !== undefined) {
    return <p class="item-look">{say(settled.said, visit.bundle.rules)}</p>;
  }
  if (isFaulty && choice !== null) {
    return <p class="item-look">{valueText(visit.bundle, item, put, choice)}</p>;
  }
  return (
    <>
      <p class="item-look">{item.look}</p>
      {titles.length > 0 && (
        <p class="item-caution">{text("phone-item-caution", { title: listed(titles) })}</p>
      )}
    </>
  );
}

export function ItemRow({ visit, item, fresh, onOpen }: RowProps) {
  const judged = visit.judged(item.id);
  const grade = shownGrade(visit, item);
  const isChosen = typeof visit.value(`items/${item.id}/choice`) === "string";
  const isOpen = grade === null && !isChosen && judged?.by !== "implied";
  const sound = isOpen ? soundWords(item) : null;
  const photos = photosOf(visit, item.id).slice(0, THUMBS);
  const claims = (judged?.reasons ?? []).filter(({ code }) => isToldBefore(code));
  const isWeak = (judged?.reasons ?? []).some(({ code }) => code === "look_first");
  return (
    <article
      class="item-row"
      id={`item-${domId(item)}`}
      data-item={item.id}
      data-grade={grade ?? "open"}
      aria-labelledby={`title-${domId(item)}`}
    >
      <div class="item-what">
        <h3 id={`title-${domId(item)}`} tabIndex={-1}>
          <button type="button" class="item-name" aria-expanded={false} onClick={onOpen}>
            {item.title}
          </button>
        </h3>
        <Detail
          visit={visit}
          item={item}
          fresh={fresh}
          isFaulty={grade !== null && grade !== "none"}
        />
        {claims.map(({ said }) => (
          <p key={say(said, visit.bundle.rules)} class="item-caution">
            {say(said, visit.bundle.rules)}
          </p>
        ))}
        {isOpen && <LeftAtHome visit={visit} item={item} />}
        {(photos.length > 0 || isWeak || asks(visit, item)) && (
          <p class="item-marks">
            {(isWeak || asks(visit, item)) && <MarkWord id="look_here" />}
            {photos.map((sha256, index) => (
              <PhotoPicture
                key={sha256}
                sha256={sha256}
                alt={text("phone-photo-alt", { title: item.title, number: index + 1 })}
              />
            ))}
          </p>
        )}
      </div>
      {sound !== null ? (
        <button
          type="button"
          class={wantsProof(item) ? "choice item-ok item-says" : "choice item-ok"}
          onClick={() => recordSound(visit, item)}
        >
          <GradeMark grade="none" />
          {sound}
          <span class="visually-hidden">: {item.title}</span>
        </button>
      ) : (
        <p class="item-standing">
          <ItemGrade visit={visit} item={item} judged={judged} />
        </p>
      )}
      {fresh.size > 0 && (
        <div class="item-warnings">
          <Cautions visit={visit} ids={[...fresh]} fresh={fresh} isOpen={false} />
        </div>
      )}
    </article>
  );
}
