/** A reading in place: number, unit beside it, steppers for one hand. Typed text is recorded as typed. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { ItemJudgement } from "../../shared/assessment";
import type { Item, Reading } from "../../shared/checklist";
import { placeName } from "../names";
import type { Visit } from "../visit";
import { words } from "../words";

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

const FREE_TEXT = new Set(["date", "code"]);

/** Keep what can be part of a number: figures, one comma or point, a sign, a stroke for fractions. */
export function cleanNumber(text: string): string {
  const kept = text.replace(/[^0-9,./ +-]/g, "");
  return kept.replace(/^\s+/, "");
}

/** One step up or down from what was typed; keeps the person's comma. */
export function stepped(typed: string, unit: string, up: boolean): string {
  const comma = typed.includes(",");
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

function ReadingRow({
  visit,
  item,
  reading,
  place,
  unit,
  onUnit,
  onPreview,
}: {
  visit: Visit;
  item: Item;
  reading: Reading;
  place: string;
  unit: string;
  onUnit: () => void;
  onPreview: (judged: ItemJudgement | null) => void;
}) {
  const put = `items/${item.id}/readings/${reading.id}/${place}`;
  const kept = visit.value(put) as Typed | null;
  const [typed, setTyped] = useState(kept?.typed ?? "");
  const dirty = useRef(false);
  const timer = useRef(0);
  const id = `reading-${put.replaceAll("/", "-").replaceAll(".", "-")}`;
  const name = place === "one" ? reading.title : `${reading.title}, ${placeName(place)}`;
  const shown = kept?.typed ?? "";
  useEffect(() => {
    if (!dirty.current) setTyped(shown);
  }, [shown]);
  const record = (text: string, inUnit: string) => {
    clearTimeout(timer.current);
    if (!dirty.current) return;
    dirty.current = false;
    const trimmed = text.trim();
    if (trimmed === (kept?.typed ?? "") && inUnit === (kept?.unit ?? inUnit)) return;
    const value = trimmed === "" ? null : { typed: trimmed, unit: inUnit };
    void visit.put(
      [{ put, value }],
      words.item.recorded(name, trimmed === "" ? "–" : `${trimmed} ${inUnit}`),
    );
  };
  const change = (text: string) => {
    dirty.current = true;
    setTyped(text);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => record(text, unit), PAUSE_MS);
    if (text.trim() !== "")
      void visit.preview(item.id, put, { typed: text.trim(), unit }).then(onPreview);
  };
  const free = FREE_TEXT.has(reading.quantity);
  return (
    <div class="reading">
      <label for={id}>{place === "one" ? reading.title : placeName(place)}</label>
      <div class="reading-row">
        {!free && (
          <button
            type="button"
            class="step"
            aria-label={words.item.less1(name)}
            onClick={() => change(stepped(typed, unit, false))}
          >
            −
          </button>
        )}
        <input
          id={id}
          aria-label={name}
          type="text"
          inputMode={free ? "text" : "decimal"}
          enterkeyhint="next"
          autocomplete="off"
          value={typed}
          onInput={(event) => {
            const text = event.currentTarget.value;
            const clean = free ? text : cleanNumber(text);
            if (clean !== text) event.currentTarget.value = clean;
            change(clean);
          }}
          onBlur={() => record(typed, unit)}
          onKeyDown={(event) => {
            if (event.key !== "Enter") return;
            event.preventDefault();
            record(typed, unit);
            nextField(event.currentTarget);
          }}
        />
        {!free && (
          <button
            type="button"
            class="step"
            aria-label={words.item.more1(name)}
            onClick={() => change(stepped(typed, unit, true))}
          >
            +
          </button>
        )}
        {!free && unit !== "" && (
          <button type="button" class="unit" aria-label={words.item.unit(unit)} onClick={onUnit}>
            {unit}
          </button>
        )}
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
  onPreview: (judged: ItemJudgement | null) => void;
}) {
  const [units, setUnits] = useState<Record<string, string>>({});
  return (
    <>
      {(item.readings ?? []).map((reading) => {
        const places = reading.at ?? ["one"];
        const first = places
          .map(
            (place) =>
              visit.value(`items/${item.id}/readings/${reading.id}/${place}`) as Typed | null,
          )
          .find((kept) => kept !== null);
        const unit = units[reading.id] ?? first?.unit ?? reading.units[0] ?? "";
        const turn = () => {
          const next =
            reading.units[(reading.units.indexOf(unit) + 1) % reading.units.length] ?? unit;
          setUnits({ ...units, [reading.id]: next });
        };
        return (
          // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
          <div key={reading.id} class="readings" role="group" aria-label={reading.title}>
            {places.length > 1 && <p class="readings-title">{reading.title}</p>}
            {places.map((place) => (
              <ReadingRow
                key={place}
                visit={visit}
                item={item}
                reading={reading}
                place={place}
                unit={unit}
                onUnit={turn}
                onPreview={onPreview}
              />
            ))}
          </div>
        );
      })}
    </>
  );
}
