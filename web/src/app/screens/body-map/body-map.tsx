/** The body map: the car as it is, and on one sheet all that lies at the place that was tapped. */

import { useComputed } from "@preact/signals";
import { Fragment } from "preact";
import { useState } from "preact/hooks";
import type { MarkId } from "../../../shared/marks";
import { BodyDrawing } from "../../components/drawing/body-drawing";
import { outlineOf, PATTERNS, panelsOf, placesOf, TAPS } from "../../components/drawing/outlines";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { MarkWord } from "../../components/grades/grade-mark";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { placeLabel } from "../../text/names";
import { say } from "../../text/say";
import {
  type Finish,
  onPanel,
  type PanelState,
  paintBaseline,
  stateOf,
} from "../../visit/body/body-panels";
import { type AtPlace, byPlace, chosenStyle, styleOf, tagsAt } from "../../visit/body/car-places";
import { carName } from "../../visit/items/item-record";
import { useAssessment } from "../../visit/use-assessment";
import { useNext } from "../../visit/use-next";
import type { Visit } from "../../visit/visit";
import { isOpen } from "../../visit/walk-order";
import { filmFigure, placeWord, sentenceOf } from "./panel-words";
import { PlaceSheet } from "./place-sheet";
import { StyleChoice, styleName } from "./style-choice";

import "../../../style/rows.css";
import "./body-map.css";

const FINISHES: Finish[] = ["original", ...PATTERNS.map(([finish]) => finish as Finish)];

function Legend({ taps }: { taps: PanelState["marks"] }) {
  return (
    <ul class="legend">
      {taps.map(({ id, title }) => (
        <li key={id}>
          <svg class="legend-tap" viewBox="-9 -9 18 18" aria-hidden="true">
            <path class="tapped" d={TAPS[id] ?? TAPS.other} />
          </svg>
          {title}
        </li>
      ))}
      {FINISHES.map((finish) => (
        <li key={finish}>
          <svg viewBox="0 0 54 30" aria-hidden="true">
            <rect class="panel-sheet" x="1" y="1" width="52" height="28" />
            {finish !== "original" && (
              <rect
                class="panel-pattern"
                x="1"
                y="1"
                width="52"
                height="28"
                fill={`url(#pattern-${finish})`}
              />
            )}
          </svg>
          {text(`phone-map-finish-${finish}`)}
        </li>
      ))}
    </ul>
  );
}

/** What the car is drawn as, and while nobody said: the question. */
function Drawn({ visit }: { visit: Visit }) {
  const [isAsking, setAsking] = useState(false);
  const style = styleName(styleOf(visit));
  if (chosenStyle(visit) === null) {
    return (
      <section class="sheet" aria-label={text("phone-map-style-label")}>
        <p>{text("phone-map-style-unknown", { style })}</p>
        <StyleChoice visit={visit} />
      </section>
    );
  }
  return (
    <>
      <p class="drawn-as">
        {text("phone-map-style-known", { style })}
        <button type="button" aria-expanded={isAsking} onClick={() => setAsking(!isAsking)}>
          {text("phone-map-style-change")}
        </button>
      </p>
      {isAsking && <StyleChoice visit={visit} onDone={() => setAsking(false)} />}
    </>
  );
}

/** A place that is no panel, as the list says it: how many checks, and how many are open. */
function checksAt(visit: Visit, { items }: AtPlace): string {
  const open = items.filter((item) => isOpen(visit, item)).length;
  return text("phone-map-checks", { count: items.length, open });
}

function List({
  visit,
  label,
  places,
  detail,
  tags,
  chosen,
  onChoose,
}: {
  visit: Visit;
  label: string;
  places: readonly string[];
  detail: (place: string) => string;
  tags: ReadonlyMap<string, readonly MarkId[]>;
  chosen: string | null;
  onChoose: (place: string) => void;
}) {
  return (
    <section aria-label={label}>
      <h2>{label}</h2>
      <ul class="rows">
        {places.map((place) => (
          <li key={place}>
            <button
              type="button"
              class="row row-button"
              data-row={place}
              aria-pressed={chosen === place}
              onClick={() => onChoose(place)}
            >
              <span class="row-title">{carPlaceLabel(visit, place)}</span>
              <span class="row-detail">
                {detail(place)}
                {tags.get(place)?.map((tag) => (
                  <Fragment key={tag}>
                    {" · "}
                    <MarkWord id={tag} />
                  </Fragment>
                ))}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What a place of the drawn car is called where it stands alone. */
function carPlaceLabel(visit: Visit, place: string): string {
  if (place === "cargo") {
    const cargo = text("car-cargo", { style: styleOf(visit) });
    return `${cargo.charAt(0).toUpperCase()}${cargo.slice(1)}`;
  }
  return placeLabel(/^(front|rear)-(left|right)$/.test(place) ? `wheel-${place}` : place);
}

/** The stretch of time for which the map points to the next look; as the decision begins with. */
const MINUTES = "15";

/** The marks of each place; a pencil ring at the one place where to look next. */
function tagsOf(
  lying: ReadonlyMap<string, AtPlace>,
  next: string | null,
): ReadonlyMap<string, MarkId[]> {
  const tags = new Map([...lying].map(([at, here]) => [at, tagsAt(here)]));
  const places = [...lying].filter(([, { items }]) => items.some(({ id }) => id === next));
  const first = places[0]?.[0];
  if (first !== undefined) tags.get(first)?.push("look_here");
  return tags;
}

export function BodyMap({ visit, place }: { visit: Visit; place: string | null }) {
  const [chosen, setChosen] = useState(place);
  const style = styleOf(visit);
  const outline = outlineOf(style);
  const panels = panelsOf(outline);
  const others = placesOf(outline);
  const lying = useComputed(() => byPlace(visit, panels, [...panels, ...others])).value;
  const states = new Map<string, PanelState>(
    panels.map((panel) => [panel, stateOf(visit, panel, filmFigure(visit))]),
  );
  const next = useNext(visit, MINUTES, useAssessment(visit))?.items[0]?.item ?? null;
  const tags = tagsOf(lying, next);
  const here = chosen === null ? undefined : lying.get(chosen);
  const onward = panels[(chosen === null ? -1 : panels.indexOf(chosen)) + 1] ?? panels[0] ?? "";
  const baseline = paintBaseline(visit);
  const shared = { visit, tags, chosen, onChoose: setChosen };
  return (
    <ScreenFrame
      title={text("phone-walk-map")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        <>
          <a class="button" href={address({ screen: "walk", visit: visit.id })}>
            {text("phone-walk-title")}
          </a>
          <button type="button" class="main" onClick={() => setChosen(onward)}>
            {placeLabel(onward)}
          </button>
        </>
      }
    >
      <p>{text("phone-map-intro")}</p>
      <Drawn visit={visit} />
      <BodyDrawing
        outline={outline}
        states={states}
        tags={tags}
        chosen={chosen}
        word={(at) => placeWord(style, at)}
        onChoose={setChosen}
      />
      <Legend taps={onPanel(visit, panels[0] ?? "").marks.flatMap(({ readings }) => readings)} />
      {baseline !== undefined && <p>{say(baseline, visit.bundle.rules)}</p>}
      {chosen !== null && here !== undefined && (
        <PlaceSheet
          key={chosen}
          visit={visit}
          place={chosen}
          label={carPlaceLabel(visit, chosen)}
          here={here}
          state={states.get(chosen) ?? null}
          next={next}
        />
      )}
      <List
        {...shared}
        label={text("phone-map-places")}
        places={others.filter((at) => (lying.get(at)?.items.length ?? 0) > 0)}
        detail={(at) => checksAt(visit, lying.get(at) as AtPlace)}
      />
      <List
        {...shared}
        label={text("phone-map-list")}
        places={panels}
        detail={(at) => sentenceOf(visit, states.get(at) as PanelState)}
      />
    </ScreenFrame>
  );
}
