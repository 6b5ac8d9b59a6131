/** The haul plan: does it move, what everything weighs and is rated for, papers, daylight, weather. */

import { useState } from "preact/hooks";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { catalogue, text } from "../../../text/catalogue";
import { unitName, withUnit } from "../../../text/names";
import { region } from "../../../text/region";
import { say } from "../../../text/say";
import { amounts } from "../../../text/typed";
import {
  CHOICES,
  type Choice,
  haulText,
  haulWeight,
  UNITS,
  type Unit,
  WEIGHTS,
  type Weight,
  WORDS,
} from "../../../visit/before/going/haul";
import type { Visit } from "../../../visit/visit";
import { useHaul } from "./use-going";

function record(visit: Visit, field: string, value: string | object | null, answer: string): void {
  void visit.put(
    [{ put: `haul/${field}`, value: value as never }],
    text("phone-item-recorded", { title: fieldName(field), answer }),
  );
}

/** `trailer_rating` is `before-haul-trailer-rating` in the catalogue. */
function fieldName(field: string): string {
  return catalogue.find(`before-haul-${field.replaceAll("_", "-")}`);
}

function answerName(field: string, id: string): string {
  const own = `before-haul-${field}-${id}`;
  return catalogue.find(catalogue.has(own) ? own : `before-haul-${id}`);
}

function Chosen({ visit, field }: { visit: Visit; field: Choice }) {
  const chosen = haulText(visit.besideItems(), field);
  return (
    <div class="haul-field">
      <p class="chips-title">{fieldName(field)}</p>
      <ChoiceButtons
        className="chips"
        label={fieldName(field)}
        options={CHOICES[field].map((id) => ({ id, title: answerName(field, id) }))}
        chosen={chosen}
        onChoose={(id) => record(visit, field, id === chosen ? null : id, answerName(field, id))}
      />
    </div>
  );
}

/** A figure that can be read as one, or nothing; anything else is refused where it stands. */
function isFigure(typed: string): boolean {
  return typed === "" || /^\d+$/.test(typed) || amounts(typed, region.value).length > 0;
}

function Weighed({ visit, field, unit }: { visit: Visit; field: Weight; unit: Unit }) {
  const [refused, setRefused] = useState<string | null>(null);
  const stands = haulWeight(visit.besideItems(), field);
  const own = stands.unit ?? unit;
  return (
    <TextField
      id={`haul-${field}`}
      label={text("before-haul-in", { field: fieldName(field), unit: unitName(own) })}
      inputMode="decimal"
      value={stands.typed}
      problem={refused === null ? null : text("before-haul-unread", { typed: refused })}
      onRecord={(words) => {
        const typed = words.trim();
        const isRead = isFigure(typed);
        setRefused(isRead ? null : typed);
        if (isRead) {
          record(visit, field, typed === "" ? null : { typed, unit: own }, withUnit(typed, own));
        }
      }}
    />
  );
}

function Straps({ visit }: { visit: Visit }) {
  const [refused, setRefused] = useState<string | null>(null);
  return (
    <TextField
      id="haul-straps"
      label={fieldName("straps")}
      inputMode="numeric"
      value={haulText(visit.besideItems(), "straps")}
      problem={refused === null ? null : text("before-haul-uncounted", { typed: refused })}
      onRecord={(words) => {
        const typed = words.trim();
        const isRead = /^\d{0,2}$/.test(typed);
        setRefused(isRead ? null : typed);
        if (isRead) record(visit, "straps", typed || null, typed);
      }}
    />
  );
}

const STATES = {
  fine: "before-haul-fine",
  over: "before-haul-over",
  missing: "before-haul-lacking",
} as const;

/** What it comes to, the worst first. */
function Outcome({ visit }: { visit: Visit }) {
  const plan = useHaul(visit);
  if (plan === null) return null;
  const order = ["over", "missing", "fine"] as const;
  return (
    <section class="haul-plan" data-answer={plan.answer} aria-label={text("before-haul-comes-to")}>
      <h2>{text(STATES[plan.answer])}</h2>
      {order.map((state) => {
        const rows = plan.checks.filter((row) => row.state === state);
        if (rows.length === 0) return null;
        return (
          <ul key={state} class={`haul-checks haul-${state}`}>
            {rows.map((row) => {
              const source = visit.bundle.sources[row.source];
              const isLaw = source !== undefined && row.source !== "practice";
              return (
                <li key={row.id} data-check={row.id} data-state={row.state}>
                  {say(row.said, visit.bundle.rules)}
                  {isLaw && (
                    <span class="hint"> {text("before-source", { source: source.title })}</span>
                  )}
                </li>
              );
            })}
          </ul>
        );
      })}
      <p class="hint">{text("before-haul-caution")}</p>
    </section>
  );
}

export function Haul({ visit }: { visit: Visit }) {
  const cells = visit.besideItems();
  const typedIn = WEIGHTS.map((field) => haulWeight(cells, field).unit).find(Boolean);
  const [unit, setUnit] = useState<Unit>(typedIn ?? (region.value === "us" ? "lb" : "kg"));
  if (visit.bundle.haul === undefined) return <p class="hint">{text("before-older-checklist")}</p>;
  const way = haulText(cells, "way");
  const isTowed = way === "trailer";
  return (
    <>
      <p class="hint">{text("before-haul-hint")}</p>
      <Chosen visit={visit} field="way" />
      {(["rolls", "steers", "stops"] as const).map((field) => (
        <Chosen key={field} visit={visit} field={field} />
      ))}
      {isTowed && (
        <section aria-label={text("before-haul-weights")}>
          <h2>{text("before-haul-weights")}</h2>
          <p class="hint">{text("before-haul-weights-hint")}</p>
          <ChoiceButtons
            className="chips"
            label={text("before-haul-unit")}
            options={UNITS.map((id) => ({ id, title: unitName(id) }))}
            chosen={unit}
            onChoose={(id) => setUnit(id as Unit)}
          />
          {WEIGHTS.map((field) => (
            <Weighed key={field} visit={visit} field={field} unit={unit} />
          ))}
          <Straps visit={visit} />
          <Chosen visit={visit} field="brakes" />
        </section>
      )}
      <section aria-label={text("before-haul-law")}>
        <h2>{text("before-haul-law")}</h2>
        {way === "drive" && <Chosen visit={visit} field="plates" />}
        <Chosen visit={visit} field="insured" />
        {WORDS.map((field) => (
          <TextField
            key={field}
            id={`haul-${field}`}
            label={fieldName(field)}
            value={haulText(cells, field)}
            onRecord={(words) => record(visit, field, words.trim() || null, words)}
          />
        ))}
      </section>
      <Outcome visit={visit} />
    </>
  );
}
