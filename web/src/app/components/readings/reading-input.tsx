/** A reading in place: number, unit beside it, steppers for one hand. Typed text is recorded as typed. */

import { catalogue, text } from "../../text/catalogue";
import { dateText, monthNames } from "../../text/formats";
import { unitName } from "../../text/names";
import { cleanNumber, NO_FIGURE, stepped } from "../../text/numbers";
import { region } from "../../text/region";
import { days } from "../../text/typed";
import type { ReadingField } from "./use-reading";

import "./readings.css";

/** Several readings in a row: Enter goes to the next field of the same item. */
function focusNext(from: HTMLInputElement): void {
  const card = from.closest("[data-item]");
  const fields = [...(card?.querySelectorAll<HTMLInputElement>("input[id^=reading-]") ?? [])];
  const next = fields[fields.indexOf(from) + 1];
  if (next === undefined) from.blur();
  else next.focus();
}

function Input({ field, onFocus }: { field: ReadingField; onFocus?: (() => void) | undefined }) {
  const { id, name, typed, record, change, isFreeText } = field;
  return (
    <input
      id={id}
      aria-label={name}
      type="text"
      inputMode={isFreeText ? "text" : "decimal"}
      enterkeyhint="next"
      autocomplete="off"
      value={typed}
      onFocus={() => {
        field.enter();
        onFocus?.();
      }}
      onInput={(event) => {
        const text = event.currentTarget.value;
        const clean = isFreeText ? text : cleanNumber(text);
        if (clean !== text) event.currentTarget.value = clean;
        change(clean);
      }}
      onBlur={field.leave}
      onKeyDown={(event) => {
        if (event.key !== "Enter") return;
        event.preventDefault();
        record(typed);
        focusNext(event.currentTarget);
      }}
    />
  );
}

/** Less and more. They leave the field its focus, so that the number pad stays where it is. */
function Stepper({ field, unit, isUp }: { field: ReadingField; unit: string; isUp: boolean }) {
  return (
    <button
      type="button"
      class="step"
      aria-label={
        isUp
          ? text("phone-reading-step-up", { name: field.name })
          : text("phone-reading-step-down", { name: field.name })
      }
      onPointerDown={(event) => event.preventDefault()}
      onClick={() => field.change(stepped(field.typed, unit, isUp))}
    >
      {isUp ? "+" : "−"}
    </button>
  );
}

/** The field, between its steppers where `hasSteppers`. */
export function ReadingInput({
  field,
  unit,
  hasSteppers,
  onFocus,
}: {
  field: ReadingField;
  unit: string;
  hasSteppers: boolean;
  onFocus?: () => void;
}) {
  const isStepped = hasSteppers && !field.isFreeText;
  return (
    <>
      {isStepped && <Stepper field={field} unit={unit} isUp={false} />}
      <Input field={field} onFocus={onFocus} />
      {isStepped && <Stepper field={field} unit={unit} isUp={true} />}
    </>
  );
}

/** The system's own calendar beside the text, for who would rather pick than type. */
export function DatePicker({ field }: { field: ReadingField }) {
  const [day = ""] = days(field.typed, region.value, monthNames());
  return (
    <span class="date-picker">
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M4 6 H20 V20 H4 Z M4 11 H20 M8 3 V8 M16 3 V8" />
      </svg>
      <input
        type="date"
        aria-label={text("phone-reading-pick", { name: field.name })}
        value={day}
        onClick={({ currentTarget }) => currentTarget.showPicker?.()}
        onChange={({ currentTarget: { value } }) => {
          if (value !== "") field.change(dateText(value));
        }}
      />
    </span>
  );
}

/** A gauge that reads nothing is a finding, and a number pad has no letters for it. */
export function NoFigureButton({ field, quantity }: { field: ReadingField; quantity: string }) {
  return (NO_FIGURE[quantity] ?? []).map((word) => (
    <button
      key={word}
      type="button"
      class="unit"
      onPointerDown={(event) => event.preventDefault()}
      onClick={() => field.change(word)}
    >
      {catalogue.find(`phone-reading-${word}`)}
      <span class="visually-hidden">: {field.name}</span>
    </button>
  ));
}

export function UnitButton({
  unit,
  units,
  onTurn,
}: {
  unit: string;
  units: string[];
  onTurn: () => void;
}) {
  const name = unitName(unit);
  if (name === "") return null;
  if (units.length < 2) return <span class="unit-word">{name}</span>;
  return (
    <button
      type="button"
      class="unit"
      aria-label={text("phone-reading-unit", { unit: name })}
      onClick={onTurn}
    >
      {name}
    </button>
  );
}
