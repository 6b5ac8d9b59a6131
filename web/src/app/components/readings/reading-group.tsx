/** One reading at all places where it is taken: one line, or a grid whose active field has steppers. */

import { useState } from "preact/hooks";
import { page, preferences } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { placeLabel, unitName } from "../../text/names";
import {
  placesOf,
  readingPut,
  type Typed,
  unitKind,
  usualUnit,
} from "../../visit/items/item-readings";
import { ChoiceButtons } from "../controls/choice-buttons";
import { Doubts } from "./doubts";
import { DatePicker, NoFigureButton, ReadingInput, UnitButton } from "./reading-input";
import { isFreeText, type ReadingProps, useReading } from "./use-reading";

const WHERE = ["manual", "sticker", "part", "practice"] as const;
/** More places than this wait behind a button: a card must stay a card. */
const MANY = 8;

/** A reading taken in one place: everything in one line. */
function SingleReading({ onTurn, ...props }: ReadingProps & { onTurn: () => void }) {
  const { reading, unit } = props;
  const field = useReading(props);
  return (
    <div class="reading">
      <label for={field.id}>{field.name}</label>
      <div class="reading-row">
        <ReadingInput field={field} unit={unit} hasSteppers={true} />
        {!field.isFreeText && <UnitButton unit={unit} units={reading.units} onTurn={onTurn} />}
        {reading.quantity === "date" && <DatePicker field={field} />}
      </div>
      <NoFigureButton field={field} quantity={reading.quantity} />
      <WhereRead {...props} places={[props.place]} />
    </div>
  );
}

/** Where the car's own figure was read: it is asked once there is one. */
function WhereRead({ visit, item, reading, places }: GroupProps & { places: string[] }) {
  const kept = places.flatMap((place) => {
    const put = readingPut(visit, item, reading, place);
    const value = visit.value(put) as Typed | null;
    return value === null || !put.startsWith("car/") ? [] : [{ put, value }];
  });
  const [first] = kept;
  if (first === undefined) return null;
  const options = WHERE.map((id) => ({ id, title: text(`phone-figure-${id}`) }));
  const { from, model } = first.value;
  return (
    <div class="where-read">
      <p class="chips-title">
        {model === undefined ? text("phone-figure-where") : text("phone-figure-model", { model })}
      </p>
      <ChoiceButtons
        className="chips"
        label={text("phone-figure-where-of", { title: reading.title })}
        options={options}
        chosen={from ?? null}
        onChoose={(id) =>
          void visit.put(
            kept.map(({ put, value }) => ({ put, value: { ...value, from: id } })),
            text("phone-item-recorded", {
              title: reading.title,
              answer: text(`phone-figure-${id as (typeof WHERE)[number]}`),
            }),
          )
        }
      />
    </div>
  );
}

/** One of several in a row: the field alone; steppers come with the focus. */
function ReadingAtPlace({
  isActive,
  onActive,
  ...props
}: ReadingProps & { isActive: boolean; onActive: () => void }) {
  const field = useReading(props);
  return (
    <div class={isActive ? "reading reading-active" : "reading"}>
      <label for={field.id}>{placeLabel(props.place)}</label>
      <div class="reading-row">
        <ReadingInput field={field} unit={props.unit} hasSteppers={isActive} onFocus={onActive} />
        {props.reading.quantity === "date" && <DatePicker field={field} />}
      </div>
      {isActive && <NoFigureButton field={field} quantity={props.reading.quantity} />}
    </div>
  );
}

type GroupProps = Omit<ReadingProps, "place" | "unit">;

interface GroupUnit {
  unit: string;
  /** The person takes readings of this kind in that unit from now on. */
  choose: (unit: string) => void;
  /** To the next one. */
  turn: () => void;
}

function useUnit({ visit, item, reading }: GroupProps, places: string[]): GroupUnit {
  const [chosen, setChosen] = useState<string | null>(null);
  const stored = places.flatMap((place) => {
    const put = readingPut(visit, item, reading, place);
    const value = visit.value(put) as Typed | null;
    return value === null ? [] : [{ put, value }];
  });
  const { units } = preferences.value;
  const unit = chosen ?? stored[0]?.value.unit ?? usualUnit(reading, units);
  const choose = (next: string) => {
    setChosen(next);
    void page.state.setPreferences({ units: { ...units, [unitKind(reading)]: next } });
  };
  // numbers already typed keep their figures and take the unit that the person now says they have
  const turn = () => {
    const next = reading.units[(reading.units.indexOf(unit) + 1) % reading.units.length] ?? unit;
    choose(next);
    const changes = stored.map(({ put, value: { sure, ...value } }) => ({
      put,
      value: { ...value, unit: next },
    }));
    if (changes.length === 0) return;
    void visit.put(
      changes,
      text("phone-item-recorded", { title: reading.title, answer: unitName(next) }),
    );
  };
  return { unit, choose, turn };
}

export function ReadingGroup(props: GroupProps) {
  const { visit, item, reading } = props;
  const places = placesOf(visit, item, reading);
  const { unit, choose, turn } = useUnit(props, places);
  const [active, setActive] = useState<string | null>(null);
  const [isShown, setShown] = useState(places.length <= MANY);
  if (!isShown) {
    const isTyped = (place: string) =>
      visit.value(readingPut(visit, item, reading, place)) !== null;
    return (
      <button type="button" onClick={() => setShown(true)}>
        {text("phone-reading-many", { done: places.filter(isTyped).length, all: places.length })}
        <span class="visually-hidden">: {reading.title}</span>
      </button>
    );
  }
  const only = places.length === 1 ? places[0] : undefined;
  if (only !== undefined) {
    return (
      <>
        <SingleReading {...props} unit={unit} place={only} onTurn={turn} />
        <Doubts visit={visit} item={item} reading={reading} onUnit={choose} />
      </>
    );
  }
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class="readings" role="group" aria-label={reading.title}>
      <div class="readings-head">
        <p class="readings-title">{reading.title}</p>
        {!isFreeText(reading) && <UnitButton unit={unit} units={reading.units} onTurn={turn} />}
      </div>
      <div class="readings-grid">
        {places.map((place) => (
          <ReadingAtPlace
            key={place}
            {...props}
            unit={unit}
            place={place}
            isActive={active === place}
            onActive={() => setActive(place)}
          />
        ))}
      </div>
      <WhereRead {...props} places={places} />
      <Doubts visit={visit} item={item} reading={reading} onUnit={choose} />
    </div>
  );
}
