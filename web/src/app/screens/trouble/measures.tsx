/** Readings of a test with their conditions, before and after the fix, and both on one plot. */

import { useState } from "preact/hooks";
import type { ReadingSeries, SymptomTest, TestReading } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { catalogue, text } from "../../text/catalogue";
import { firstUnit, fromBase, isUnit } from "../../text/measures";
import { unitName, withUnit } from "../../text/names";
import { cleanNumber } from "../../text/numbers";
import type { Shown } from "./complaint";
import { outcomeOf } from "./known";
import { Plot } from "./plot";
import { LONG_LETTERS } from "./tests";

type Phase = "before" | "after";

/** What each condition may be; a figure is typed. */
const WORDS: Record<string, string[]> = { engine: ["cold", "hot"], hose: ["on", "off"] };

function conditionText(conditions: Record<string, string>): string {
  return Object.entries(conditions)
    .map(([name, word]) => {
      const title = catalogue.find(`trouble-condition-${name}`);
      const id = `trouble-condition-${name}-${word}`;
      return `${title} ${catalogue.has(id) ? catalogue.find(id) : word}`;
    })
    .join(", ");
}

function Conditions({
  test,
  conditions,
  onChange,
}: {
  test: SymptomTest;
  conditions: Record<string, string>;
  onChange: (conditions: Record<string, string>) => void;
}) {
  return (test.conditions ?? []).map((name) => {
    const title = catalogue.find(`trouble-condition-${name}`);
    const words = WORDS[name];
    if (words === undefined) {
      return (
        <label key={name} class="trouble-field">
          {title}
          <input
            type="text"
            inputMode="numeric"
            value={conditions[name] ?? ""}
            onInput={({ currentTarget: { value } }) => onChange({ ...conditions, [name]: value })}
          />
        </label>
      );
    }
    return (
      <div key={name}>
        <p class="chips-title">{title}</p>
        <ChoiceButtons
          label={title}
          options={words.map((id) => ({
            id,
            title: catalogue.find(`trouble-condition-${name}-${id}`),
          }))}
          chosen={conditions[name] ?? null}
          onChoose={(word) => onChange({ ...conditions, [name]: word })}
        />
      </div>
    );
  });
}

export function NewReading(
  props: Shown & { test: SymptomTest; reading: TestReading; phase: Phase },
) {
  const { visit, shown, test, reading, phase } = props;
  const [typed, setTyped] = useState("");
  const [minute, setMinute] = useState("");
  const [unit, setUnit] = useState(firstUnit(reading.units));
  const [conditions, setConditions] = useState<Record<string, string>>({});
  const record = () => {
    // by its moment: two phones that add one at a time never write over each other
    const put = `trouble/${shown.id}/readings/${test.id}/${reading.id}/${Date.now()}`;
    const value = { typed, unit, phase, conditions, ...(minute === "" ? {} : { minute }) };
    void visit.put([{ put, value }], `${reading.title}: ${withUnit(typed, unit)}.`);
    setTyped("");
    setMinute("");
  };
  const next = reading.units[(reading.units.indexOf(unit) + 1) % reading.units.length] ?? unit;
  return (
    <form
      class="trouble-why"
      onSubmit={(event) => {
        event.preventDefault();
        if (typed !== "") record();
      }}
    >
      <label class="trouble-field">
        {reading.title} ({text(`trouble-measure-${phase}`)})
        <span class="trouble-typed">
          <input
            type="text"
            inputMode="decimal"
            value={typed}
            onInput={({ currentTarget: { value } }) => setTyped(cleanNumber(value))}
          />
          {reading.units.length > 1 ? (
            <button type="button" class="unit" onClick={() => setUnit(next)}>
              {unitName(unit)}
            </button>
          ) : (
            <span>{unitName(unit)}</span>
          )}
        </span>
      </label>
      {reading.over_time === true && (
        <label class="trouble-field">
          {text("trouble-measure-minute")}
          <input
            type="text"
            inputMode="decimal"
            value={minute}
            onInput={({ currentTarget: { value } }) => setMinute(cleanNumber(value))}
          />
        </label>
      )}
      <Conditions test={test} conditions={conditions} onChange={setConditions} />
      <button type="submit" disabled={typed === ""}>
        {text("trouble-measure-save")}
      </button>
    </form>
  );
}

function Taken({ visit, series, unit }: Shown & { series: ReadingSeries; unit: string }) {
  return (
    <ul class="rows">
      {series.points.map((point) => (
        <li key={point.path} class="trouble-known">
          <strong>
            {withUnit(point.typed, point.unit)}{" "}
            {point.minute !== "" && `(${text("trouble-minutes", { minutes: point.minute })})`}
          </strong>
          <span class="hint">
            {text(`trouble-measure-${point.phase}`)}
            {Object.keys(point.conditions).length > 0 && ` · ${conditionText(point.conditions)}`}
            {point.unit !== unit &&
              isUnit(unit) &&
              ` · ${withUnit(fromBase(point.number, unit), unit)}`}
          </span>
          <button
            type="button"
            class="link"
            onClick={() =>
              void visit.put([{ put: point.path, value: null }], text("trouble-take-back"))
            }
          >
            {text("trouble-take-back")}
          </button>
        </li>
      ))}
    </ul>
  );
}

/** What a test showed before the fix, and what it shows now. */
function Again({ visit, shown, seen, test }: Shown & { test: SymptomTest }) {
  const put = `trouble/${shown.id}/after/${test.id}`;
  const after = seen.after.find((row) => row.test === test.id)?.after ?? null;
  const isLong = test.outcomes.some(({ title }) => title.length > LONG_LETTERS);
  const before = seen.known.find((row) => row.test === test.id)?.outcome ?? "";
  return (
    <li class="trouble-known" data-after={test.id}>
      <strong>{test.title}</strong>
      <span class="hint">
        {text("trouble-again-line", { before: outcomeOf(shown, test.id, before) })}
      </span>
      <ChoiceButtons
        className={isLong ? "trouble-outcomes trouble-long" : "trouble-outcomes"}
        label={`${text("trouble-again")}: ${test.title}`}
        options={test.outcomes.map(({ id, title }) => ({ id, title }))}
        chosen={after}
        onChoose={(outcome) => {
          const told = text("trouble-recorded", {
            test: test.title,
            outcome: outcomeOf(shown, test.id, outcome),
          });
          void visit.put([{ put, value: { outcome } }], told);
        }}
      />
    </li>
  );
}

/** Once a cause is found: the tests that were done, to be done again. */
export function TestedAgain(props: Shown) {
  const { shown, seen } = props;
  if (seen.found.length === 0 || seen.known.length === 0) return null;
  const known = new Set(seen.known.map(({ test }) => test));
  return (
    <section aria-label={text("trouble-again")}>
      <h2>{text("trouble-again")}</h2>
      <ul class="rows">
        {shown.tests
          .filter(({ id }) => known.has(id))
          .map((test) => (
            <Again key={test.id} {...props} test={test} />
          ))}
      </ul>
    </section>
  );
}

/** Whether its field stands at a step of the test that is shown. */
function isAtStep({ steps = [] }: SymptomTest, { id }: TestReading): boolean {
  return steps.some(({ read }) => read === id);
}

export function Measures(props: Shown & { current: string | null }) {
  const { shown, seen, current } = props;
  const phase: Phase = seen.found.length > 0 ? "after" : "before";
  const isShown = (test: SymptomTest) =>
    test.id === current ||
    seen.known.some((row) => row.test === test.id) ||
    seen.repeats.some((row) => row.test === test.id);
  const tests = shown.tests.filter((test) => test.measures !== undefined && isShown(test));
  return tests.flatMap((test) =>
    (test.measures ?? []).flatMap((reading) => {
      const series = seen.repeats.find((row) => row.test === test.id && row.reading === reading.id);
      if (series === undefined && test.id === current && isAtStep(test, reading)) return [];
      const unit = series?.points[0]?.unit ?? reading.units[0] ?? "";
      const title = `${test.title}: ${reading.title}`;
      return (
        <details key={title} data-measure={`${test.id}/${reading.id}`} open={series !== undefined}>
          <summary>{title}</summary>
          <div class="trouble-inside">
            {series !== undefined && <Plot title={reading.title} series={series} unit={unit} />}
            {series !== undefined && <Taken {...props} series={series} unit={unit} />}
            {(test.id !== current || !isAtStep(test, reading)) && (
              <NewReading {...props} test={test} reading={reading} phase={phase} />
            )}
          </div>
        </details>
      );
    }),
  );
}
