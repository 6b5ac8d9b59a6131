/** A reading in place: number, unit beside it, steppers for one hand. Typed text is recorded as typed. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item, ItemJudgment, Reading } from "../../shared/contract";
import { preferences, setPreferences } from "../state/app-state";
import { recordWhenHidden } from "../state/flush-pending";
import type { Visit } from "../state/visit";
import { words } from "../text/en";
import { isCylinder, placeName, unitName } from "../text/place-names";
import { Cylinders, cylindersOf } from "./cylinder-count";

const PAUSE_MS = 500;

/** How far one press of a stepper goes, by unit; in thousandths, so that no fraction is computed. */
const STEP_MILLI: Record<string, number> = {
  mm: 500,
  "in/32": 1000,
  mil: 1000,
  um: 10_000,
  psi: 1000,
  kPa: 10_000,
  bar: 100,
  inHg: 1000,
  degC: 5000,
  degF: 10_000,
  V: 100,
  mV: 10_000,
  A: 100,
  mA: 10_000,
  ohm: 100,
  kohm: 100,
  Nm: 5000,
  "lbf.ft": 5000,
  "%": 5000,
  s: 1000,
  deg: 1000,
};

/** More places than this wait behind a button: a card must stay a card. */
const MANY = 8;

const FREE_TEXT = new Set(["date", "code"]);

/** Keep what can be part of a number: figures, one comma or point, a sign, a stroke for fractions. */
function cleanNumber(text: string): string {
  if (Object.values(NO_FIGURE).includes(text)) return text;
  const kept = text.replace(/[^0-9,./ +-]/g, "");
  return kept.replace(/^\s+/, "");
}

/** Whether this person's language writes 2,5 for 2.5. */
const USUALLY_COMMA = new Intl.NumberFormat().format(0.5).includes(",");

/** One step up or down from what was typed; keeps the person's comma, or writes the usual one. */
function stepped(typed: string, unit: string, up: boolean): string {
  const comma = typed.includes(",") || (USUALLY_COMMA && !typed.includes("."));
  const plain = typed.replace(/\s/g, "").replace(",", ".");
  if (plain !== "" && !/^[+-]?\d*\.?\d*$/.test(plain)) return typed;
  const step = STEP_MILLI[unit] ?? 1000;
  const now = plain === "" ? 0 : Math.round(Number(plain) * 1000);
  const next = Math.max(0, now + (up ? step : -step));
  const whole = Math.floor(next / 1000);
  const rest = String(next % 1000)
    .padStart(3, "0")
    .replace(/0+$/, "");
  return rest === "" ? String(whole) : `${whole}${comma ? "," : "."}${rest}`;
}

interface Typed {
  typed: string;
  unit: string;
}

/** One reading's field: what is typed, when it is recorded, how it is judged meanwhile. */
function useReading(
  visit: Visit,
  item: Item,
  reading: Reading,
  place: string,
  unit: string,
  onPreview: (judged: ItemJudgment | null) => void,
) {
  const put = `items/${item.id}/readings/${reading.id}/${place}`;
  const kept = visit.value(put) as Typed | null;
  const [typed, setTyped] = useState(kept?.typed ?? "");
  const dirty = useRef(false);
  const timer = useRef(0);
  const name = place === "one" ? reading.title : `${reading.title}, ${placeName(place)}`;
  const shown = kept?.typed ?? "";
  // what was recorded elsewhere shows here, but never under the person's fingers
  useEffect(() => {
    if (!dirty.current) setTyped(shown);
  }, [shown]);
  const record = (text: string) => {
    clearTimeout(timer.current);
    if (!dirty.current) return;
    dirty.current = false;
    const trimmed = text.trim();
    if (trimmed === (kept?.typed ?? "") && unit === (kept?.unit ?? unit)) return;
    const value = trimmed === "" ? null : { typed: trimmed, unit };
    const said = trimmed === "" ? words.item.nothing : `${trimmed} ${unitName(unit)}`;
    void visit.put([{ put, value }], words.item.recorded(name, said));
  };
  useEffect(() => recordWhenHidden(() => record(typed)));
  const change = (text: string) => {
    dirty.current = true;
    setTyped(text);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => record(text), PAUSE_MS);
    const value = text.trim() === "" ? null : { typed: text.trim(), unit };
    void visit.preview(item.id, put, value).then(onPreview);
  };
  return { id: domId(put), name, typed, record, change, free: FREE_TEXT.has(reading.quantity) };
}

type Live = ReturnType<typeof useReading>;

function ReadingInput({ live, onFocus }: { live: Live; onFocus?: () => void }) {
  const { id, name, typed, record, change, free } = live;
  return (
    <input
      id={id}
      aria-label={name}
      type="text"
      inputMode={free ? "text" : "decimal"}
      enterkeyhint="next"
      autocomplete="off"
      value={typed}
      {...(onFocus === undefined ? {} : { onFocus })}
      onInput={(event) => {
        const text = event.currentTarget.value;
        const clean = free ? text : cleanNumber(text);
        if (clean !== text) event.currentTarget.value = clean;
        change(clean);
      }}
      onBlur={() => record(typed)}
      onKeyDown={(event) => {
        if (event.key !== "Enter") return;
        event.preventDefault();
        record(typed);
        nextField(event.currentTarget);
      }}
    />
  );
}

/** Less and more. They leave the field its focus, so that the number pad stays where it is. */
function Stepper({ live, unit, up }: { live: Live; unit: string; up: boolean }) {
  return (
    <button
      type="button"
      class="step"
      aria-label={up ? words.item.more1(live.name) : words.item.less1(live.name)}
      onPointerDown={(event) => event.preventDefault()}
      onClick={() => live.change(stepped(live.typed, unit, up))}
    >
      {up ? "+" : "−"}
    </button>
  );
}

/** What a gauge that shows no figure is recorded as: no steel below the paint, no circuit. */
const NO_FIGURE: Record<string, string> = { film: "none", resistance: "open" };

/** A gauge that reads nothing is a finding, and a number pad has no letters for it. */
function NoFigure({ live, quantity }: { live: Live; quantity: string }) {
  const word = NO_FIGURE[quantity];
  if (word === undefined) return null;
  return (
    <button
      type="button"
      class="unit"
      onPointerDown={(event) => event.preventDefault()}
      onClick={() => live.change(word)}
    >
      {words.item.noFigure[word]}
      <span class="visually-hidden">: {live.name}</span>
    </button>
  );
}

interface RowProps {
  visit: Visit;
  item: Item;
  reading: Reading;
  place: string;
  unit: string;
  onPreview: (judged: ItemJudgment | null) => void;
}

function UnitButton({
  unit,
  units,
  onUnit,
}: {
  unit: string;
  units: string[];
  onUnit: () => void;
}) {
  const name = unitName(unit);
  if (name === "") return null;
  if (units.length < 2) return <span class="unit-word">{name}</span>;
  return (
    <button type="button" class="unit" aria-label={words.item.unit(name)} onClick={onUnit}>
      {name}
    </button>
  );
}

/** A reading taken in one place: everything in one line. */
function SingleReading({ onUnit, ...props }: RowProps & { onUnit: () => void }) {
  const { visit, item, reading, place, unit, onPreview } = props;
  const live = useReading(visit, item, reading, place, unit, onPreview);
  return (
    <div class="reading">
      <label for={live.id}>{place === "one" ? reading.title : live.name}</label>
      <div class="reading-row">
        {!live.free && <Stepper live={live} unit={unit} up={false} />}
        <ReadingInput live={live} />
        {!live.free && <Stepper live={live} unit={unit} up={true} />}
        {!live.free && <UnitButton unit={unit} units={reading.units} onUnit={onUnit} />}
      </div>
      <NoFigure live={live} quantity={reading.quantity} />
    </div>
  );
}

/** One of several in a row: the field alone; steppers come with the focus. */
function OneOfMany({
  active,
  onActive,
  ...props
}: RowProps & { active: boolean; onActive: () => void }) {
  const { visit, item, reading, place, unit, onPreview } = props;
  const live = useReading(visit, item, reading, place, unit, onPreview);
  return (
    <div class={active ? "reading reading-active" : "reading"}>
      <label for={live.id}>{placeName(place)}</label>
      <div class="reading-row">
        {active && !live.free && <Stepper live={live} unit={unit} up={false} />}
        <ReadingInput live={live} onFocus={onActive} />
        {active && !live.free && <Stepper live={live} unit={unit} up={true} />}
      </div>
      {active && <NoFigure live={live} quantity={reading.quantity} />}
    </div>
  );
}

function domId(put: string): string {
  return `reading-${put.replace(/[^a-z0-9-]/g, "-")}`;
}

/** Where it is measured on this car. Past the last cylinder stays only what was recorded there. */
function placesOf(visit: Visit, item: Item, reading: Reading): string[] {
  const all = reading.at ?? [];
  if (all.length === 0) return ["one"];
  const cylinders = cylindersOf(visit);
  if (cylinders === null) return all;
  return all.filter(
    (place) =>
      !isCylinder(place) ||
      Number(place) <= cylinders ||
      visit.value(`items/${item.id}/readings/${reading.id}/${place}`) !== null,
  );
}

function ReadingGroup({ visit, item, reading, onPreview }: Omit<RowProps, "place" | "unit">) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [active, setActive] = useState<string | null>(null);
  const places = placesOf(visit, item, reading);
  const puts = places.map((place) => `items/${item.id}/readings/${reading.id}/${place}`);
  const kept = puts.map((put) => visit.value(put) as Typed | null);
  const usual = preferences.value.units[reading.quantity];
  const preferred = usual !== undefined && reading.units.includes(usual) ? usual : reading.units[0];
  const unit = chosen ?? kept.find((one) => one !== null)?.unit ?? preferred ?? "";
  // numbers already typed keep their figures and take the unit that the person now says they have
  const turn = () => {
    const next = reading.units[(reading.units.indexOf(unit) + 1) % reading.units.length] ?? unit;
    setChosen(next);
    void setPreferences({ units: { ...preferences.value.units, [reading.quantity]: next } });
    const changes = kept.flatMap((one, index) =>
      one === null ? [] : [{ put: puts[index] as string, value: { ...one, unit: next } }],
    );
    if (changes.length > 0)
      void visit.put(changes, words.item.recorded(reading.title, unitName(next)));
  };
  const common = { visit, item, reading, unit, onPreview };
  const [shown, setShown] = useState(places.length <= MANY);
  if (!shown) {
    const done = kept.filter((one) => one !== null).length;
    return (
      <button type="button" onClick={() => setShown(true)}>
        {words.item.manyReadings(done, places.length)}
        <span class="visually-hidden">: {reading.title}</span>
      </button>
    );
  }
  const only = places.length === 1 ? places[0] : undefined;
  if (only !== undefined) return <SingleReading {...common} place={only} onUnit={turn} />;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class="readings" role="group" aria-label={reading.title}>
      <div class="readings-head">
        <p class="readings-title">{reading.title}</p>
        {!FREE_TEXT.has(reading.quantity) && (
          <UnitButton unit={unit} units={reading.units} onUnit={turn} />
        )}
      </div>
      <div class="readings-grid">
        {places.map((place) => (
          <OneOfMany
            key={place}
            {...common}
            place={place}
            active={active === place}
            onActive={() => setActive(place)}
          />
        ))}
      </div>
    </div>
  );
}

/** Several readings in a row: Enter goes to the next field of the same item. */
function nextField(from: HTMLInputElement): void {
  const card = from.closest("[data-item]");
  const fields = [...(card?.querySelectorAll<HTMLInputElement>(".reading input") ?? [])];
  const next = fields[fields.indexOf(from) + 1];
  if (next === undefined) from.blur();
  else next.focus();
}

export function Readings({
  visit,
  item,
  onPreview,
}: {
  visit: Visit;
  item: Item;
  onPreview: (judged: ItemJudgment | null) => void;
}) {
  const readings = item.readings ?? [];
  const byCylinder = readings.some(({ at }) => at?.some(isCylinder) === true);
  return (
    <>
      {byCylinder && cylindersOf(visit) === null && <Cylinders visit={visit} />}
      {readings.map((reading) => (
        <ReadingGroup
          key={reading.id}
          visit={visit}
          item={item}
          reading={reading}
          onPreview={onPreview}
        />
      ))}
    </>
  );
}
