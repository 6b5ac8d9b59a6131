/** The body map: tap a panel, record its paint, gaps, dents and rust in place below the drawing. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { BodyDrawing } from "../../components/drawing/body-drawing";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { ItemCard } from "../../components/item/item-card";
import { PhotoButtons } from "../../components/photos/photo-buttons";
import { ItemReadings } from "../../components/readings/item-readings";
import {
  MARKS,
  onThis,
  PANELS,
  type Panel,
  type PanelState,
  stateOf,
} from "../../state/body-panels";
import { carName } from "../../state/item-record";
import { address } from "../../state/routes";
import type { Visit } from "../../state/visit";
import { words } from "../../text/en";
import { placeName } from "../../text/place-names";

import "../../../style/rows.css";
import "./body-map.css";

const texts = words.map;

function said(state: PanelState): string {
  const parts: string[] = [];
  if (state.film !== "") parts.push(texts.film(state.film));
  if (state.finish !== null) parts.push(texts.finish[state.finish]);
  if (state.deviation !== "" && state.finish !== null) parts.push(texts.deviation(state.deviation));
  for (const mark of state.marks) parts.push(texts.marks[mark] ?? mark);
  return parts.length === 0 ? texts.nothing : parts.join(", ");
}

/** Dents, rust spots and repairs of a panel: each a button that is on or off. */
function Marks({ visit, panel }: { visit: Visit; panel: Panel }) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class="choices" role="group" aria-label={texts.marksLabel}>
      {Object.entries(texts.marks).map(([mark, title]) => {
        const put = `items/${MARKS}/readings/${mark}/${panel}`;
        const on = visit.value(put) !== null;
        return (
          <button
            key={mark}
            type="button"
            class="choice"
            aria-pressed={on}
            onClick={() =>
              void visit.put(
                [{ put, value: on ? null : { typed: "yes", unit: "" } }],
                words.item.recorded(placeName(panel), on ? words.item.nothing : title),
              )
            }
          >
            <span>{title}</span>
          </button>
        );
      })}
    </div>
  );
}

function PartReadings({ visit, item }: { visit: Visit; item: Item | null }) {
  const [preview, setPreview] = useState<ItemJudgment | null>(null);
  if (item === null) return null;
  const problems = (preview ?? visit.judged(item.id))?.problems ?? [];
  return (
    <>
      <ItemReadings visit={visit} item={item} onPreview={setPreview} />
      {problems.map((problem) => (
        <p key={problem.text} class="wrong">
          {problem.text}
        </p>
      ))}
    </>
  );
}

function Sheet({ visit, panel }: { visit: Visit; panel: Panel }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.scrollIntoView({ block: "start" });
  }, [panel]);
  const { film, gaps, marks, rust } = onThis(visit, panel);
  const photoItem = marks ?? film;
  return (
    <section class="sheet" aria-label={placeName(panel)} data-sheet={panel}>
      <h2 ref={heading} tabIndex={-1}>
        {placeName(panel)}
      </h2>
      <p role="status">{said(stateOf(visit, panel))}</p>
      {marks !== null && <Marks visit={visit} panel={panel} />}
      <PartReadings visit={visit} item={film} />
      <PartReadings visit={visit} item={gaps} />
      {photoItem !== null && <PhotoButtons visit={visit} item={photoItem} place={panel} />}
      {rust.map((item) => (
        <ItemCard key={item.id} visit={visit} item={item} />
      ))}
    </section>
  );
}

export function BodyMap({ visit }: { visit: Visit }) {
  const [panel, setPanel] = useState<Panel | null>(null);
  const states = Object.fromEntries(PANELS.map((name) => [name, stateOf(visit, name)])) as Record<
    Panel,
    PanelState
  >;
  const baseline = visit.judged("accident.paint-film")?.facts.baseline?.text;
  const next = PANELS[(panel === null ? -1 : PANELS.indexOf(panel)) + 1] ?? PANELS[0];
  return (
    <ScreenFrame
      title={words.walk.map}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        <>
          <a class="button" href={address({ screen: "walk", visit: visit.id })}>
            {words.facts.walk}
          </a>
          <button type="button" class="main" onClick={() => setPanel(next)}>
            {placeName(next)}
          </button>
        </>
      }
    >
      <p>{texts.intro}</p>
      <BodyDrawing states={states} chosen={panel} onChoose={setPanel} labels={texts.views} />
      <ul class="legend">
        {(["original", "repainted", "filler", "thin", "no-reading"] as const).map((finish) => (
          <li key={finish}>
            <svg viewBox="0 0 36 22" aria-hidden="true">
              <rect class={`panel-sheet panel-${finish}`} x="1" y="1" width="34" height="20" />
              {finish !== "original" && (
                <rect x="1" y="1" width="34" height="20" fill={`url(#pattern-${finish})`} />
              )}
            </svg>
            {texts.finish[finish]}
          </li>
        ))}
      </ul>
      {baseline !== undefined && <p>{baseline}</p>}
      {panel !== null && <Sheet key={panel} visit={visit} panel={panel} />}
      <section aria-label={texts.list}>
        <h2>{texts.list}</h2>
        <ul class="rows">
          {PANELS.map((name) => (
            <li key={name}>
              <button
                type="button"
                class="row row-button"
                aria-pressed={panel === name}
                onClick={() => setPanel(name)}
              >
                <span class="row-title">{placeName(name)}</span>
                <span class="row-detail">{said(states[name])}</span>
              </button>
            </li>
          ))}
        </ul>
      </section>
    </ScreenFrame>
  );
}
