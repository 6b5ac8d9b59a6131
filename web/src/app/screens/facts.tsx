/** What is known of the car and the day, by few taps; every answer narrows the list. */

import { useState } from "preact/hooks";
import { Choices } from "../components/choice-buttons";
import { Cylinders } from "../components/cylinder-count";
import { Frame } from "../components/screen-frame";
import { Field } from "../components/text-field";
import { setPreferences } from "../state/app-state";
import { address } from "../state/router";
import { useAssessment } from "../state/use-assessment";
import type { Visit } from "../state/visit";
import { words } from "../text/en";

const texts = words.facts;

function TextFact({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  return (
    <Field
      id={put.replace("/", "-")}
      label={label}
      value={visit.text(put)}
      onRecord={(text) => {
        const value = text.trim() === "" ? null : text.trim();
        void visit.put([{ put, value }], words.item.recorded(label, value ?? "–"));
        // what is the person's own is kept for the next car
        if (put === "about/inspector" && value !== null) void setPreferences({ inspector: value });
        if (put === "about/currency" && value !== null) void setPreferences({ currency: value });
      }}
    />
  );
}

/** A whole number; what is none is kept in the field with a sentence beside it, and not recorded. */
function WholeFact({
  visit,
  put,
  label,
  bad,
  pattern,
  after,
}: {
  visit: Visit;
  put: string;
  label: string;
  bad: string;
  pattern: RegExp;
  after?: (value: number) => void;
}) {
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <Field
      id={put.replace("/", "-")}
      label={label}
      inputMode="numeric"
      value={wrong ?? visit.text(put)}
      problem={wrong === null ? null : bad}
      onRecord={(text) => {
        const plain = text.replace(/[\s'’]/g, "");
        if (plain !== "" && !pattern.test(plain)) {
          setWrong(text);
          return;
        }
        setWrong(null);
        const value = plain === "" ? null : Number(plain);
        void visit.put([{ put, value }], words.item.recorded(label, plain === "" ? "–" : plain));
        if (value !== null) after?.(value);
      }}
    />
  );
}

/** A distance: typed text with its unit. */
function Distance({ visit, put, label }: { visit: Visit; put: string; label: string }) {
  const kept = visit.value(put) as { typed: string; unit: string } | null;
  const [unit, setUnit] = useState(kept?.unit ?? "km");
  const record = (typed: string, inUnit: string) =>
    void visit.put(
      [{ put, value: typed.trim() === "" ? null : { typed: typed.trim(), unit: inUnit } }],
      words.item.recorded(label, `${typed} ${inUnit}`),
    );
  return (
    <div class="with-unit">
      <Field
        id={put.replace("/", "-")}
        label={label}
        inputMode="decimal"
        value={kept?.typed ?? ""}
        onRecord={(typed) => record(typed, unit)}
      />
      <button
        type="button"
        class="unit"
        aria-label={words.item.unit(unit)}
        onClick={() => {
          const next = unit === "km" ? "mi" : "km";
          setUnit(next);
          if (kept !== null) record(kept.typed, next);
        }}
      >
        {unit}
      </button>
    </div>
  );
}

function TapFacts({ visit }: { visit: Visit }) {
  return (
    <>
      {Object.entries(words.fact).map(([put, [label, answers]]) => {
        const value = visit.value(put);
        return (
          <div key={put} class="fact">
            <p class="fact-label">{label}</p>
            <Choices
              label={label}
              options={Object.entries(answers).map(([id, title]) => ({ id, title }))}
              chosen={typeof value === "string" ? value : null}
              onChoose={(id) =>
                void visit.put(
                  [{ put, value: value === id ? null : id }],
                  words.item.recorded(label, (answers as Record<string, string>)[id] ?? id),
                )
              }
            />
          </div>
        );
      })}
    </>
  );
}

function Uses({ visit }: { visit: Visit }) {
  const kept = visit.value("brief/uses");
  const uses = Array.isArray(kept)
    ? kept.filter((use): use is string => typeof use === "string")
    : [];
  // wishes that ask the car for opposite things
  const conflicts = useAssessment(visit)?.brief.conflicts ?? [];
  return (
    <div class="fact">
      <p class="fact-label">{texts.uses}</p>
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere */}
      <div class="choices" role="group" aria-label={texts.uses}>
        {Object.entries(words.use).map(([id, title]) => (
          <button
            key={id}
            type="button"
            class="choice"
            aria-pressed={uses.includes(id)}
            onClick={() => {
              const next = uses.includes(id)
                ? uses.filter((use) => use !== id)
                : [...uses, id].sort();
              void visit.put(
                [{ put: "brief/uses", value: next.length === 0 ? null : next }],
                words.item.recorded(texts.uses, title),
              );
            }}
          >
            <span>{title}</span>
          </button>
        ))}
      </div>
      {conflicts.map(({ text }) => (
        <p key={text} class="caution">
          {text}
        </p>
      ))}
    </div>
  );
}

function Conditions({ visit }: { visit: Visit }) {
  return (
    <div class="fact">
      <p class="fact-label">{texts.conditions}</p>
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere */}
      <div class="choices" role="group" aria-label={texts.conditions}>
        {(["dark", "wet", "motorway"] as const).map((name) => {
          const put = `about/${name}`;
          const on = visit.value(put) === true;
          return (
            <button
              key={name}
              type="button"
              class="choice"
              aria-pressed={on}
              onClick={() =>
                void visit.put(
                  [{ put, value: !on }],
                  words.item.recorded(texts[name], on ? texts.no : texts.yes),
                )
              }
            >
              <span>{texts[name]}</span>
            </button>
          );
        })}
      </div>
    </div>
  );
}

export function Facts({ visit }: { visit: Visit }) {
  const money = { bad: texts.money_bad, pattern: /^\d{1,9}$/ };
  return (
    <Frame
      title={texts.title}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <a class="button main" href={address({ screen: "walk", visit: visit.id })}>
          {texts.walk}
        </a>
      }
    >
      <p>{texts.hint}</p>
      <TextFact visit={visit} put="car/make" label={texts.make} />
      <TextFact visit={visit} put="car/model" label={texts.model} />
      <WholeFact
        visit={visit}
        put="car/year"
        label={texts.year}
        bad={texts.year_bad}
        pattern={/^(18|19|20)\d\d$/}
      />
      <TapFacts visit={visit} />
      <Cylinders visit={visit} />
      <Uses visit={visit} />
      <div class="fact">
        <p class="fact-label">{texts.depth}</p>
        <Choices
          label={texts.depth}
          options={Object.entries(texts.depths).map(([id, title]) => ({ id, title }))}
          chosen={visit.text("about/depth") || "usual"}
          onChoose={(id) =>
            void visit.put(
              [{ put: "about/depth", value: id }],
              words.item.recorded(texts.depth, texts.depths[id as keyof typeof texts.depths]),
            )
          }
        />
      </div>
      <Conditions visit={visit} />
      <TextFact visit={visit} put="car/registration" label={texts.registration} />
      <TextFact visit={visit} put="car/vin" label={texts.vin} />
      <TextFact visit={visit} put="car/colour" label={texts.colour} />
      <Distance visit={visit} put="car/odometer" label={texts.odometer} />
      <Distance visit={visit} put="about/distance_home" label={texts.distance} />
      <TextFact visit={visit} put="about/place" label={texts.place} />
      <TextFact visit={visit} put="about/seller" label={texts.seller} />
      <TextFact visit={visit} put="about/inspector" label={texts.inspector} />
      <TextFact visit={visit} put="about/currency" label={texts.currency} />
      <WholeFact
        visit={visit}
        put="about/asking_price"
        label={`${texts.price} (${visit.text("about/currency")})`}
        {...money}
      />
      <WholeFact
        visit={visit}
        put="brief/value_good"
        label={`${texts.valueGood} (${visit.text("about/currency")})`}
        {...money}
      />
      <WholeFact
        visit={visit}
        put="brief/hourly_rate"
        label={`${texts.rate} (${visit.text("about/currency")})`}
        {...money}
      />
      <WholeFact
        visit={visit}
        put="brief/margin"
        label={`${texts.margin} (${visit.text("about/currency")})`}
        {...money}
      />
    </Frame>
  );
}
