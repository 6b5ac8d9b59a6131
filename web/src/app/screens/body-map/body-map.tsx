/** The body map: tap a panel, record its paint, gaps, dents and rust in place below the drawing. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item, ItemJudgment, Panel } from "../../../shared/contract";
import { ToggleButtons } from "../../components/controls/choice-buttons";
import { BodyDrawing } from "../../components/drawing/body-drawing";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { ItemCard } from "../../components/item/item-card";
import { PhotoButtons } from "../../components/photos/photo-buttons";
import { ItemReadings } from "../../components/readings/item-readings";
import { address } from "../../state/routes";
import { preferences } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { converted, decimal } from "../../text/measures";
import { placeLabel, withUnit } from "../../text/names";
import { say } from "../../text/say";
import {
  type Finish,
  filmReading,
  onPanel,
  PANELS,
  type PanelState,
  paintBaseline,
  stateOf,
} from "../../visit/body-panels";
import { usualUnit } from "../../visit/item-readings";
import { carName } from "../../visit/item-record";
import type { Visit } from "../../visit/visit";

import "../../../style/rows.css";
import "./body-map.css";

/** A paint film as this person measures it, whatever it was read in. */
function filmText(visit: Visit, figure: string, unit: string): string {
  const reading = filmReading(visit);
  const wanted = reading === undefined ? unit : usualUnit(reading, preferences.value.units);
  return withUnit(decimal(converted(figure, unit, wanted)), wanted);
}

function deviationOf(visit: Visit, { deviation, unit }: PanelState): string {
  const id = deviation.startsWith("-") ? "phone-map-under" : "phone-map-over";
  return text(id, { measure: filmText(visit, deviation.replace(/^-/, ""), unit) });
}

function sentenceOf(visit: Visit, state: PanelState): string {
  const parts: string[] = [];
  if (state.film !== "") parts.push(filmText(visit, state.film, state.unit));
  if (state.finish !== null) parts.push(text(`phone-map-finish-${state.finish}`));
  if (state.deviation !== "" && state.finish !== null) parts.push(deviationOf(visit, state));
  for (const { title } of state.marks) parts.push(title);
  return parts.length === 0 ? text("phone-map-nothing") : listed(parts);
}

/** Marks of a panel, such as dents: each a button that is on or off. */
function Marks({ visit, item, panel }: { visit: Visit; item: Item; panel: Panel }) {
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

function Sheet({ visit, panel }: { visit: Visit; panel: Panel }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
    heading.current?.scrollIntoView({ block: "start" });
  }, [panel]);
  const { readings, marks, cards } = onPanel(visit, panel);
  const photographed = marks[0] ?? readings[0];
  return (
    <section class="sheet" aria-label={placeLabel(panel)} data-sheet={panel}>
      <h2 ref={heading} tabIndex={-1}>
        {placeLabel(panel)}
      </h2>
      <p role="status">{sentenceOf(visit, stateOf(visit, panel))}</p>
      {marks.map((item) => (
        <Marks key={item.id} visit={visit} item={item} panel={panel} />
      ))}
      {readings.map((item) => (
        <PanelReadings key={item.id} visit={visit} item={item} />
      ))}
      {photographed !== undefined && (
        <PhotoButtons visit={visit} item={photographed} place={panel} />
      )}
      {cards.map((item) => (
        <ItemCard key={item.id} visit={visit} item={item} />
      ))}
    </section>
  );
}

const FINISHES: Finish[] = ["original", "repainted", "filler", "thin", "no-reading"];

function Legend() {
  return (
    <ul class="legend">
      {FINISHES.map((finish) => (
        <li key={finish}>
          <svg viewBox="0 0 36 22" aria-hidden="true">
            <rect class={`panel-sheet panel-${finish}`} x="1" y="1" width="34" height="20" />
            {finish !== "original" && (
              <rect x="1" y="1" width="34" height="20" fill={`url(#pattern-${finish})`} />
            )}
          </svg>
          {text(`phone-map-finish-${finish}`)}
        </li>
      ))}
    </ul>
  );
}

export function BodyMap({ visit }: { visit: Visit }) {
  const [panel, setPanel] = useState<Panel | null>(null);
  const states = Object.fromEntries(PANELS.map((name) => [name, stateOf(visit, name)])) as Record<
    Panel,
    PanelState
  >;
  const baseline = paintBaseline(visit);
  const next = PANELS[(panel === null ? -1 : PANELS.indexOf(panel)) + 1] ?? PANELS[0];
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
          <button type="button" class="main" onClick={() => setPanel(next)}>
            {placeLabel(next)}
          </button>
        </>
      }
    >
      <p>{text("phone-map-intro")}</p>
      <BodyDrawing states={states} chosen={panel} onChoose={setPanel} />
      <Legend />
      {baseline !== undefined && <p>{say(baseline, visit.bundle.rules)}</p>}
      {panel !== null && <Sheet key={panel} visit={visit} panel={panel} />}
      <section aria-label={text("phone-map-list")}>
        <h2>{text("phone-map-list")}</h2>
        <ul class="rows">
          {PANELS.map((name) => (
            <li key={name}>
              <button
                type="button"
                class="row row-button"
                aria-pressed={panel === name}
                onClick={() => setPanel(name)}
              >
                <span class="row-title">{placeLabel(name)}</span>
                <span class="row-detail">{sentenceOf(visit, states[name])}</span>
              </button>
            </li>
          ))}
        </ul>
      </section>
    </ScreenFrame>
  );
}
