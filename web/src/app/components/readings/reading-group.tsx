/** One reading at all places where it is taken: one line, or a grid whose active field has steppers. */

import { useState } from "preact/hooks";
import { page, preferences } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { placeLabel, unitName } from "../../text/names";
import { placesOf, readingPut, type Typed } from "../../visit/item-readings";
import { NoFigureButton, ReadingInput, UnitButton } from "./reading-input";
import { isFreeText, type ReadingProps, useReading } from "./use-reading";

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
      </div>
      <NoFigureButton field={field} quantity={reading.quantity} />
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
      </div>
      {isActive && <NoFigureButton field={field} quantity={props.reading.quantity} />}
    </div>
  );
}

type GroupProps = Omit<ReadingProps, "place" | "unit">;

/** The unit of a group's readings, and how to turn to the next one. */
function useUnit({ visit, item, reading }: GroupProps, places: string[]): [string, () => void] {
  const [chosen, setChosen] = useState<string | null>(null);
  const stored = places.flatMap((place) => {
    const put = readingPut(item, reading, place);
    const value = visit.value(put) as Typed | null;
    return value === null ? [] : [{ put, value }];
  });
  const usual = preferences.value.units[reading.quantity];
  const preferred = usual !== undefined && reading.units.includes(usual) ? usual : reading.units[0];
  const unit = chosen ?? stored[0]?.value.unit ?? preferred ?? "";
  // numbers already typed keep their figures and take the unit that the person now says they have
  const turn = () => {
    const next = reading.units[(reading.units.indexOf(unit) + 1) % reading.units.length] ?? unit;
    setChosen(next);
    const units = { ...preferences.value.units, [reading.quantity]: next };
    void page.state.setPreferences({ units });
    const changes = stored.map(({ put, value }) => ({ put, value: { ...value, unit: next } }));
    if (changes.length === 0) return;
    void visit.put(
      changes,
      text("phone-item-recorded", { title: reading.title, answer: unitName(next) }),
    );
  };
  return [unit, turn];
}

export function ReadingGroup(props: GroupProps) {
  const { visit, item, reading } = props;
  const places = placesOf(visit, item, reading);
  const [unit, turn] = useUnit(props, places);
  const [active, setActive] = useState<string | null>(null);
  const [isShown, setShown] = useState(places.length <= MANY);
  if (!isShown) {
    const isTyped = (place: string) => visit.value(readingPut(item, reading, place)) !== null;
    return (
      <button type="button" onClick={() => setShown(true)}>
        {text("phone-reading-many", { done: places.filter(isTyped).length, all: places.length })}
        <span class="visually-hidden">: {reading.title}</span>
      </button>
    );
  }
  const only = places.length === 1 ? places[0] : undefined;
  if (only !== undefined) {
    return <SingleReading {...props} unit={unit} place={only} onTurn={turn} />;
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
    </div>
  );
}
