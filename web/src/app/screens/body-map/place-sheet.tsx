/** All that lies at one place of the car: its paint and marks, its photos, its checks. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { ToggleButtons } from "../../components/controls/choice-buttons";
import { MarkWord } from "../../components/grades/grade-mark";
import { ItemGrade } from "../../components/grades/item-grade";
import { ItemCard } from "../../components/item/item-card";
import { PhotoButtons } from "../../components/photos/photo-buttons";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { ItemReadings } from "../../components/readings/item-readings";
import { text } from "../../text/catalogue";
import { placeLabel } from "../../text/names";
import { say } from "../../text/say";
import { onPanel, type PanelState } from "../../visit/body/body-panels";
import type { AtPlace, CarPhoto } from "../../visit/body/car-places";
import type { Visit } from "../../visit/visit";
import { sentenceOf } from "./panel-words";

/** Marks of a panel, such as dents: each a button that is on or off. */
function Marks({ visit, item, panel }: { visit: Visit; item: Item; panel: string }) {
  const putOf = (mark: string) => `items/${item.id}/readings/${mark}/${panel}`;
  const isOn = (mark: string) => visit.value(putOf(mark)) !== null;
  const toggle = (mark: string) => {
    const title = item.readings.find(({ id }) => id === mark)?.title ?? mark;
    const value = isOn(mark) ? null : { typed: "yes", unit: "" };
    const answer = value === null ? text("phone-item-nothing") : title;
    void visit.put(
      [{ put: putOf(mark), value }],
      text("phone-item-recorded", { title: placeLabel(panel), answer }),
    );
  };
  return (
    <ToggleButtons
      label={text("phone-map-marks")}
      options={item.readings.map(({ id, title }) => ({ id, title }))}
      pressed={item.readings.map(({ id }) => id).filter(isOn)}
      onToggle={toggle}
    />
  );
}

function PanelReadings({ visit, item }: { visit: Visit; item: Item }) {
  const [preview, setPreview] = useState<ItemJudgment | null>(null);
  const judged = preview ?? visit.judged(item.id);
  const problems = (judged?.problems ?? []).filter(({ code }) => code !== "doubt");
  return (
    <>
      <ItemReadings visit={visit} item={item} onPreview={setPreview} />
      {problems.map((problem) => (
        <p key={problem.path} class="wrong">
          {say(problem.said, visit.bundle.rules)}
        </p>
      ))}
    </>
  );
}

/** A check as a row that opens to its card in place. */
function Check({ visit, item, isNext }: { visit: Visit; item: Item; isNext: boolean }) {
  const [isShown, setShown] = useState(false);
  return (
    <li>
      <button
        type="button"
        class="row row-button"
        aria-expanded={isShown}
        data-check={item.id}
        onClick={() => setShown(!isShown)}
      >
        <span class="row-title">{item.title}</span>
        <span class="row-detail">
          <ItemGrade visit={visit} item={item} />
          {isNext && (
            <>
              {" "}
              <MarkWord id="look_here" />
            </>
          )}
        </span>
      </button>
      {isShown && <ItemCard visit={visit} item={item} />}
    </li>
  );
}

function Checks({ visit, items, next }: { visit: Visit; items: Item[]; next: string | null }) {
  return (
    <ul class="rows">
      {items.map((item) => (
        <Check key={item.id} visit={visit} item={item} isNext={item.id === next} />
      ))}
    </ul>
  );
}

function Photos({ photos }: { photos: CarPhoto[] }) {
  return (
    <ul class="photo-list" aria-label={text("phone-map-photos")}>
      {photos.map(({ item, sha256 }, index) => (
        <li key={sha256} class="photo">
          <PhotoPicture
            sha256={sha256}
            alt={text("phone-photo-alt", { title: item.title, number: index + 1 })}
          />
        </li>
      ))}
    </ul>
  );
}

export function PlaceSheet({
  visit,
  place,
  label,
  here,
  state,
  next,
}: {
  visit: Visit;
  place: string;
  label: string;
  here: AtPlace;
  state: PanelState | null;
  /** The item to look at next. */
  next: string | null;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.scrollIntoView({ block: "start" });
  }, [place]);
  const none = { readings: [], marks: [], cards: [] };
  const { readings, marks, cards } = state === null ? none : onPanel(visit, place);
  const photographed = marks[0] ?? readings[0] ?? here.items[0];
  const shown = new Set([...readings, ...marks, ...cards].map(({ id }) => id));
  const isLeft = ({ id }: Item) => !shown.has(id);
  const checks = here.items.filter(isLeft);
  const anywhere = here.anywhere.filter((item) => isLeft(item) && !here.items.includes(item));
  return (
    <section class="sheet" aria-label={label} data-sheet={place}>
      <h2 ref={heading} tabIndex={-1}>
        {label}
      </h2>
      {state !== null && <p role="status">{sentenceOf(visit, state)}</p>}
      {marks.map((item) => (
        <Marks key={item.id} visit={visit} item={item} panel={place} />
      ))}
      {readings.map((item) => (
        <PanelReadings key={item.id} visit={visit} item={item} />
      ))}
      {here.photos.length > 0 && <Photos photos={here.photos} />}
      {photographed !== undefined && (
        <PhotoButtons visit={visit} item={photographed} place={place} />
      )}
      {cards.map((item) => (
        <ItemCard key={item.id} visit={visit} item={item} />
      ))}
      {checks.length > 0 && (
        <>
          <h3>{text("phone-map-checks-here")}</h3>
          <Checks visit={visit} items={checks} next={next} />
        </>
      )}
      {anywhere.length > 0 && (
        <details>
          <summary>{text("phone-map-anywhere", { count: anywhere.length })}</summary>
          <Checks visit={visit} items={anywhere} next={next} />
        </details>
      )}
    </section>
  );
}
