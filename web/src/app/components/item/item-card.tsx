/** One item: what to look at, its answers at once visible, everything else in place below. */

import { useEffect, useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { ItemConflicts } from "../../screens/together/later";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { clearingChanges, photosOf, shownGrade } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { Answers } from "../grades/answers";
import { ItemGrade } from "../grades/item-grade";
import { ItemPhotos, ItemSounds } from "../photos/item-photos";
import { ItemReadings } from "../readings/item-readings";
import { Wires } from "../wires/later";
import { Cautions, DangerCautions } from "./cautions";
import { domId } from "./dom-id";
import { ItemTexts } from "./item-texts";
import { LeftAtHome } from "./left-at-home";
import { Questions } from "./questions";
import { ReasonChips } from "./reason-chips";
import { LookFirst, Reasons } from "./reasons";

import "./item-card.css";

/** Where no caution is met for the first time. */
export const NO_CAUTIONS: ReadonlySet<string> = new Set();

interface ItemProps {
  visit: Visit;
  item: Item;
}

/** An item that another answer settles: said, and still open to an answer of its own. */
function SettledCard({ visit, item, onOpen }: ItemProps & { onOpen: () => void }) {
  const reason = visit.judged(item.id)?.reasons[0];
  return (
    <article
      class="card card-settled"
      data-item={item.id}
      data-grade="none"
      aria-label={item.title}
    >
      <header>
        <h3>{item.title}</h3>
      </header>
      <p>{reason !== undefined && say(reason.said, visit.bundle.rules)}</p>
      <button type="button" class="more" onClick={onOpen}>
        {text("phone-item-anyway")}
        <span class="visually-hidden">: {item.title}</span>
      </button>
    </article>
  );
}

function CardHead({ visit, item, judged }: ItemProps & { judged: ItemJudgment | undefined }) {
  return (
    <header>
      <h3 id={`title-${domId(item)}`} tabIndex={-1}>
        {item.title}
      </h3>
      <ItemGrade visit={visit} item={item} judged={judged} />
    </header>
  );
}

function HowTo({ item }: { item: Item }) {
  return (
    <dl class="how">
      <dt>{text("phone-item-how")}</dt>
      <dd>{item.how}</dd>
      {item.where !== undefined && (
        <>
          <dt>{text("phone-item-where")}</dt>
          <dd>{item.where}</dd>
        </>
      )}
    </dl>
  );
}

/** Back to open, also long after the bar with "Undo" has gone. */
function Clear({ visit, item }: ItemProps) {
  const changes = clearingChanges(visit, item);
  if (changes.length === 0) return null;
  const answer = text("phone-item-nothing");
  const clear = () => {
    visit.hold(item.id);
    void visit.put(changes, text("phone-item-recorded", { title: item.title, answer }));
  };
  return (
    <button type="button" class="more" data-clear={item.id} onClick={clear}>
      {text("phone-item-clear")}
      <span class="visually-hidden">: {item.title}</span>
    </button>
  );
}

export function ItemCard({
  visit,
  item,
  fresh = NO_CAUTIONS,
  onFold,
}: ItemProps & {
  /** Cautions that the person meets here for the first time. */
  fresh?: ReadonlySet<string>;
  /** Within a list: what makes a row of it again. */
  onFold?: () => void;
}) {
  const [isOpen, setOpen] = useState(false);
  const [isWanted, setWanted] = useState(false);
  const [preview, setPreview] = useState<ItemJudgment | null>(null);
  const judged = visit.judged(item.id);
  // what is recorded and judged replaces what was only being typed
  useEffect(() => setPreview(null), [judged]);
  if (judged?.by === "implied" && !isWanted) {
    return <SettledCard visit={visit} item={item} onOpen={() => setWanted(true)} />;
  }
  const grade = shownGrade(visit, item);
  const shown = preview ?? judged;
  // what is being typed counts too: the photo of it is the next tap
  const isFaulty = [grade, shown?.grade].some((one) => one != null && one !== "none");
  return (
    <article
      class="card"
      id={`item-${domId(item)}`}
      data-item={item.id}
      data-grade={grade ?? "open"}
      aria-labelledby={`title-${domId(item)}`}
    >
      <CardHead visit={visit} item={item} judged={shown} />
      {shown !== undefined && <LookFirst visit={visit} judged={shown} />}
      <p class="look">{item.look}</p>
      {grade === null && <LeftAtHome visit={visit} item={item} />}
      <Cautions visit={visit} ids={item.cautions ?? []} fresh={fresh} isOpen={isOpen} />
      <ItemReadings visit={visit} item={item} onPreview={setPreview} />
      <Answers visit={visit} item={item} isOpen={isOpen} />
      {shown !== undefined && <Reasons visit={visit} item={item} judged={shown} />}
      {shown?.grade === "dangerous" && (
        <DangerCautions visit={visit} ids={item.cautions ?? []} fresh={fresh} />
      )}
      {shown !== undefined && <Questions visit={visit} item={item} judged={shown} />}
      {item.answers.includes("wires") && <Wires visit={visit} item={item} judged={judged} />}
      <ItemConflicts visit={visit} item={item} />
      <ReasonChips visit={visit} item={item} />
      {(isFaulty || isOpen || photosOf(visit, item.id).length > 0) && (
        <ItemPhotos visit={visit} item={item} />
      )}
      <ItemSounds visit={visit} item={item} />
      <ItemTexts visit={visit} item={item} isOpen={isOpen} />
      {isOpen && <HowTo item={item} />}
      <div class="card-foot">
        <button type="button" class="more" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? text("phone-item-less") : text("phone-item-details")}
          <span class="visually-hidden">: {item.title}</span>
        </button>
        <Clear visit={visit} item={item} />
        {onFold !== undefined && (
          <button type="button" class="more" onClick={onFold}>
            {text("phone-close")}
            <span class="visually-hidden">: {item.title}</span>
          </button>
        )}
      </div>
    </article>
  );
}
