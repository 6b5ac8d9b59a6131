/** The next test: how, with what, what it tells; its results stand at the foot, under the thumb. */

import type { ComponentChildren } from "preact";
import { useMemo } from "preact/hooks";
import type { Symptom, SymptomTest, TestOffer } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { Cautions } from "../../components/item/cautions";
import { catalogue, text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { say } from "../../text/say";
import type { Visit } from "../../visit/visit";
import { itemAddress, titleOf } from "../decision/item-links";
import { type Shown, testOf } from "./complaint";

/** More results than this, or long ones, stand in one column. */
export const LONG_LETTERS = 22;

export function toolName(tool: string): string {
  return catalogue.find(`judge-tool-${tool}`);
}

/** The results of a test as buttons. */
export function Outcomes({
  visit,
  shown,
  test,
}: {
  visit: Visit;
  shown: Symptom;
  test: SymptomTest;
}) {
  const put = `trouble/${shown.id}/tests/${test.id}`;
  const options = test.outcomes.map(({ id, title }) => ({ id, title }));
  const isLong = options.some(({ title }) => title.length > LONG_LETTERS);
  return (
    <div class="trouble-foot" key={test.id} data-test={test.id}>
      <p class="trouble-asks">{test.title}</p>
      <ChoiceButtons
        className={isLong ? "trouble-outcomes trouble-long" : "trouble-outcomes"}
        label={text("trouble-found-what")}
        options={options}
        chosen={null}
        onChoose={(outcome) => {
          const said = options.find(({ id }) => id === outcome)?.title ?? "";
          const told = text("trouble-recorded", { test: test.title, outcome: said });
          void visit.put([{ put, value: { outcome } }], told);
        }}
      />
    </div>
  );
}

function Worth({ test }: { test: SymptomTest }) {
  const tools = (test.tools ?? []).map(toolName);
  const minutes = text("trouble-minutes", { minutes: test.minutes });
  return (
    <span>
      {minutes}
      {tools.length > 0 && ` · ${text("trouble-with", { tools: listed(tools) })}`}
    </span>
  );
}

export function TestCard({
  visit,
  shown,
  seen,
  test,
  offer,
  children,
}: Shown & { test: SymptomTest; offer: TestOffer; children?: ComponentChildren }) {
  // in full until a test that bears it was done; after that one line that opens
  const fresh = useMemo(() => {
    const met = seen.known.flatMap((row) =>
      row.by === "person" ? (testOf(shown, row.test)?.cautions ?? []) : [],
    );
    return new Set((test.cautions ?? []).filter((caution) => !met.includes(caution)));
  }, [test, shown, seen]);
  const { takes } = test;
  const isKnown = visit.item(takes) !== undefined;
  return (
    <section class="trouble-card" data-test={test.id} aria-label={text("trouble-next")}>
      <p class="trouble-label">{text("trouble-next")}</p>
      <h2>{test.title}</h2>
      <p class="trouble-tells">{say(offer.tells, visit.bundle.rules)}</p>
      <p class="hint">
        <Worth test={test} />
      </p>
      <Cautions visit={visit} ids={test.cautions ?? []} fresh={fresh} isOpen={false} />
      <p>{test.how}</p>
      {children}
      {takes !== undefined && isKnown && (
        <a class="button" href={itemAddress(visit, takes)}>
          {text("trouble-readings", { check: titleOf(visit, takes) })}
        </a>
      )}
      <div class="trouble-not">
        {(test.tools ?? []).map((tool) => (
          <button
            key={tool}
            type="button"
            class="link"
            onClick={() => {
              const said = text("trouble-lack", { tool: toolName(tool) });
              void visit.put([{ put: `trouble/tools/${tool}`, value: "missing" }], said);
            }}
          >
            {text("trouble-lack", { tool: toolName(tool) })}
          </button>
        ))}
        <button
          type="button"
          class="link"
          onClick={() => {
            const put = `trouble/${shown.id}/skipped/${test.id}`;
            void visit.put([{ put, value: true }], text("trouble-skip"));
          }}
        >
          {text("trouble-skip")}
        </button>
      </div>
    </section>
  );
}

/** The tests that tell less by the minute: a tap makes one the next. */
export function OtherTests({
  visit,
  shown,
  seen,
  current,
  onChoose,
}: Shown & { current: string | null; onChoose: (test: string) => void }) {
  const others = seen.next.filter(({ id }) => id !== current);
  if (others.length === 0) return null;
  return (
    <details>
      <summary>
        {text("trouble-others")} ({others.length})
      </summary>
      <ul class="rows">
        {others.map(({ id, tells }) => {
          const test = testOf(shown, id);
          if (test === undefined) return null;
          return (
            <li key={id}>
              <button type="button" class="row row-button" onClick={() => onChoose(id)}>
                <span class="row-title">{test.title}</span>
                <span class="row-detail">
                  {say(tells, visit.bundle.rules)} <Worth test={test} />
                </span>
              </button>
            </li>
          );
        })}
      </ul>
    </details>
  );
}
