/** Look-ups: what to ask which office, and a dated list of what came of it with a photo of each. */

import { useId } from "preact/hooks";
import type { LookupJudgment, LookupResult } from "../../../../shared/contract";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { today } from "../../../device/local-time";
import { text } from "../../../text/catalogue";
import { readableDay } from "../../../text/formats";
import { say } from "../../../text/say";
import {
  dropLookup,
  type Lookup,
  lookupsOf,
  noteLookup,
  RESULTS,
} from "../../../visit/before/going/lookups";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { Photos } from "../../ad/photos";
import { itemAddress, titleOf } from "../../decision/item-links";

type Kind = NonNullable<Visit["bundle"]["rules"]["lookups"]>[number];

const RESULT = {
  good: "before-lookup-good",
  not_found: "before-lookup-not-found",
  bad: "before-lookup-bad",
} as const satisfies Record<LookupResult, string>;

function Row({
  visit,
  row,
  kind,
  judged,
}: {
  visit: Visit;
  row: Lookup;
  kind: Kind;
  judged: LookupJudgment | undefined;
}) {
  const id = useId();
  const start = `lookups/${row.id}`;
  const change = (field: string, value: string, answer: string) =>
    void visit.put(
      [{ put: `${start}/${field}`, value: value || null }],
      text("phone-item-recorded", { title: kind.title, answer }),
    );
  return (
    <li class="lookup" data-result={row.result}>
      <p class="lookup-head">
        <strong class={`lookup-${row.result}`}>{text(RESULT[row.result])}</strong>{" "}
        {row.date && readableDay(row.date)}
      </p>
      {judged?.old !== undefined && judged.stands && (
        <p class="lookup-old">{say(judged.old, visit.bundle.rules)}</p>
      )}
      <Photos
        visit={visit}
        under={`${start}/photos`}
        label={text("before-lookup-photo")}
        shown={row.photos}
        alt={(number) => text("before-lookup-photo-of", { lookup: kind.title, number })}
      />
      <details open={row.note !== ""}>
        <summary>{text("before-lookup-more")}</summary>
        <TextField
          id={`note-${row.id}`}
          label={text("before-lookup-note")}
          multiline={true}
          value={row.note}
          onRecord={(note) => change("note", note.trim(), note)}
        />
        <div class="field">
          <label for={id}>{text("before-lookup-date")}</label>
          <input
            id={id}
            type="date"
            value={row.date}
            max={today()}
            onChange={({ currentTarget: { value } }) => {
              if (value !== "") change("date", value, readableDay(value));
            }}
          />
        </div>
        <button
          type="button"
          onClick={() =>
            void visit.put(
              dropLookup(visit.besideItems(), row.id),
              text("before-lookup-removed", { lookup: kind.title }),
            )
          }
        >
          {text("before-lookup-remove")}
          <span class="visually-hidden">: {kind.title}</span>
        </button>
      </details>
    </li>
  );
}

function Section({ visit, kind, rows }: { visit: Visit; kind: Kind; rows: Lookup[] }) {
  const judged = new Map((visit.assessment.value?.lookups ?? []).map((row) => [row.id, row]));
  const applies = visit.assessment.value?.items ?? {};
  const checks = kind.items.filter((item) => applies[item]?.applies === true);
  const source = visit.bundle.sources[kind.source];
  return (
    <section class="lookup-kind" data-lookup={kind.id} aria-label={kind.title}>
      <h2>{kind.title}</h2>
      <p>{kind.ask}</p>
      <p class="hint">
        {text("before-lookup-where", { office: kind.where })}
        {source !== undefined && ` ${text("before-source", { source: source.title })}`}
      </p>
      <ul class="lookups">
        {rows.map((row) => (
          <Row key={row.id} visit={visit} row={row} kind={kind} judged={judged.get(row.id)} />
        ))}
      </ul>
      <ChoiceButtons
        className="chips"
        label={text(rows.length > 0 ? "before-lookup-again" : "before-lookup-result")}
        options={RESULTS.map((id) => ({ id, title: text(RESULT[id]) }))}
        chosen={null}
        onChoose={(result) =>
          void visit.put(
            noteLookup(kind.id, result as LookupResult, today()),
            text("phone-item-recorded", {
              title: kind.title,
              answer: text(RESULT[result as LookupResult]),
            }),
          )
        }
      />
      {checks.length > 0 && (
        <details>
          <summary>{text("before-lookup-checks")}</summary>
          <ul class="lookup-checks">
            {checks.map((item) => (
              <li key={item}>
                <a href={itemAddress(visit, item)}>{titleOf(visit, item)}</a>
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

export function Lookups({ visit }: { visit: Visit }) {
  useAssessment(visit);
  const kinds = visit.bundle.rules.lookups ?? [];
  const rows = lookupsOf(visit.besideItems());
  const vin = visit.text("car/vin");
  if (kinds.length === 0) return <p class="hint">{text("before-older-checklist")}</p>;
  return (
    <>
      <p class="hint">{text("before-lookups-hint")}</p>
      <p class="lookup-vin">
        {vin === "" ? text("before-lookups-no-vin") : text("before-lookups-vin", { vin })}
      </p>
      {kinds.map((kind) => (
        <Section
          key={kind.id}
          visit={visit}
          kind={kind}
          rows={rows.filter((row) => row.kind === kind.id)}
        />
      ))}
    </>
  );
}
