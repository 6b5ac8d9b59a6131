/** One item: what to look at, its answers at once visible, everything else in place below. */

import { useEffect, useState } from "preact/hooks";
import { GRADES, type Grade, type Item, type ItemJudgment } from "../../shared/contract";
import type { Json } from "../../shared/event";
import type { Change, Visit } from "../state/visit";
import { words } from "../text/en";
import { Choices, type Option } from "./choice-buttons";
import { Worked } from "./derived-facts";
import { GradeWord, Plate } from "./grade-mark";
import { Photos, photosOf } from "./item-photos";
import { Readings } from "./reading-field";
import { Field } from "./text-field";

/** A title of more characters, or with a longer word, wants the whole width of a phone. */
const LONG_TITLE = 22;
const LONG_WORD = /\S{10}/;

const GRADE_OPTIONS: Option[] = GRADES.map((id) => ({
  id,
  title: words.grade[id],
  mark: <Plate grade={id} />,
  className: `choice-${id}`,
}));

interface GradeValue {
  grade: Grade;
}

function gradeValue(visit: Visit, item: Item): GradeValue | null {
  return visit.value(`items/${item.id}/grade`) as GradeValue | null;
}

/** A grade, and its reason: none unless it is given along, for a reason belongs to one grade. */
function graded(visit: Visit, item: Item, grade: Grade | null, why = ""): Change[] {
  const changes: Change[] = [
    { put: `items/${item.id}/grade`, value: grade === null ? null : { grade } },
  ];
  const put = `items/${item.id}/why`;
  if (why !== "" || visit.value(put) !== null) {
    changes.push({ put, value: why === "" ? null : why });
  }
  return changes;
}

/** What the card shows as the item's grade: the judge's word; until it has spoken, the person's. */
export function shownGrade(visit: Visit, item: Item): Grade | null {
  return visit.judged(item.id)?.grade ?? gradeValue(visit, item)?.grade ?? null;
}

function WhyChips({ visit, item }: { visit: Visit; item: Item }) {
  const value = gradeValue(visit, item);
  const judged = visit.judged(item.id);
  if (value === null) {
    const measured = judged?.grade;
    if (measured == null || measured === "none") return null;
  }
  const grade = value?.grade ?? judged?.grade ?? "none";
  // a grade milder than the measured one counts only with its reason: ask for it at once
  const over =
    judged?.overruled === true ||
    (value !== null &&
      value.grade !== "uninspected" &&
      judged?.measured != null &&
      value.grade !== judged.measured);
  if (grade === "none" && !over) return null;
  const chips = grade === "uninspected" ? words.whyNot : over ? words.whyOver : (item.whys ?? []);
  const label =
    grade === "uninspected" ? words.item.whyNot : over ? words.item.whyOver : words.item.whys;
  const record = (why: string) => {
    if (value === null) {
      void visit.put(
        [{ put: `items/${item.id}/note`, value: why }],
        words.item.recorded(item.title, why),
      );
    } else {
      void visit.put(
        graded(visit, item, grade, why),
        words.item.recorded(item.title, `${words.grade[grade]}, ${why}`),
      );
    }
  };
  return (
    <>
      {chips.length > 0 && <p class="chips-title">{label}</p>}
      {chips.length > 0 && (
        <Choices
          className="chips"
          label={label}
          options={chips.map((why) => ({ id: why, title: why }))}
          chosen={visit.text(`items/${item.id}/${value === null ? "note" : "why"}`)}
          onChoose={record}
        />
      )}
      {over && (
        <Field
          id={`why-${item.id.replaceAll(".", "-")}`}
          label={words.item.whyElse}
          value={visit.text(`items/${item.id}/why`)}
          onRecord={record}
        />
      )}
    </>
  );
}

function Reasons({
  visit,
  item,
  judged,
}: {
  visit: Visit;
  item: Item;
  judged: ItemJudgment | null | undefined;
}) {
  if (judged == null) return null;
  const sources = visit.bundle.sources;
  const problems = judged.problems ?? [];
  const reasons = judged.reasons ?? [];
  return (
    <div class="reasons">
      {problems.map((problem) => (
        <p key={`${problem.code} ${problem.path ?? ""}`} class="wrong">
          {problem.text}
        </p>
      ))}
      {reasons.map((reason) => {
        const source = reason.source === undefined ? undefined : sources[reason.source];
        return (
          <p key={`${item.id} ${reason.code} ${reason.text}`}>
            {reason.text}
            {source !== undefined && (
              <span class="source">
                {" "}
                {words.item.source}: {source.title}
                {source.section == null || source.section === "" ? "" : `, ${source.section}`}
              </span>
            )}
          </p>
        );
      })}
      {judged.overruled && judged.measured !== null && (
        <p>{words.item.overruled(words.grade[judged.measured])}</p>
      )}
      <Worked item={item} judged={judged} />
    </div>
  );
}

/** What settles a path for one of its values; a grade takes the reason of who gave it along. */
function settling(visit: Visit, item: Item, put: string, value: Json, at: string): Change[] {
  if (put !== `items/${item.id}/grade`) return [{ put, value }];
  const cell = visit.cellsOf(item.id)[`items/${item.id}/why`];
  const reasons = cell === undefined ? [] : [cell, ...cell.others];
  const own = reasons.find((one) => one.at.slice(22) === at.slice(22) && one.at >= at);
  const grade = (value as GradeValue | null)?.grade ?? null;
  return graded(visit, item, grade, typeof own?.value === "string" ? own.value : "");
}

/** Two answers that were given without sight of one another: one tap settles it. */
function Conflicts({ visit, item }: { visit: Visit; item: Item }) {
  const torn = Object.entries(visit.cellsOf(item.id)).filter(([, cell]) => cell.others.length > 0);
  if (torn.length === 0) return null;
  return (
    <div class="conflict">
      <p>{words.item.conflict}</p>
      {torn.map(([put, cell]) => (
        <div key={put} class="choices chips">
          {[{ value: cell.value, at: cell.at }, ...cell.others].map(({ value, at }) => (
            <button
              key={at}
              type="button"
              class="choice"
              onClick={() =>
                void visit.put(
                  settling(visit, item, put, value, at),
                  words.item.recorded(item.title, readableValue(value)),
                )
              }
            >
              {readableValue(value)}
            </button>
          ))}
        </div>
      ))}
    </div>
  );
}

function readableValue(value: unknown): string {
  if (value === null) return "–";
  if (typeof value !== "object") return String(value);
  const record = value as Record<string, unknown>;
  if (typeof record.grade === "string") return words.grade[record.grade as Grade] ?? record.grade;
  if (typeof record.typed === "string") return `${record.typed} ${record.unit ?? ""}`;
  return JSON.stringify(value);
}

function choiceOptions(item: Item): Option[] {
  return (item.choices ?? []).map(({ id, title, grade }) => ({
    id,
    title,
    mark: grade === undefined ? undefined : <Plate grade={grade} />,
    className: grade === undefined ? "" : `choice-${grade}`,
  }));
}

/** Where no caution is met for the first time. */
const NONE_NEW: ReadonlySet<string> = new Set();

/** What can hurt here: in full when it is met for the first time, else by name, and a tap opens it. */
function Cautions({
  visit,
  ids,
  fresh,
  whole,
}: {
  visit: Visit;
  ids: string[];
  fresh: ReadonlySet<string>;
  whole: boolean;
}) {
  const known = ids.flatMap((id) => {
    const caution = visit.bundle.cautions[id];
    return caution === undefined ? [] : [{ id, ...caution }];
  });
  const told = known.filter(({ id }) => fresh.has(id));
  const rest = known.filter(({ id }) => !fresh.has(id));
  return (
    <>
      {told.map(({ id, title, text }) => (
        <p key={id} class="caution">
          <strong>
            {words.item.caution}: {title}.
          </strong>{" "}
          {text}
        </p>
      ))}
      {rest.length > 0 && (
        <details class="caution" open={whole}>
          <summary>{words.item.cautions(rest.map(({ title }) => title))}</summary>
          {rest.map(({ id, title, text }) => (
            <p key={id}>
              <strong>{title}.</strong> {text}
            </p>
          ))}
        </details>
      )}
    </>
  );
}

/** An item that another answer settles: said, and still open to an answer of its own. */
function Settled({ visit, item, onOpen }: { visit: Visit; item: Item; onOpen: () => void }) {
  return (
    <article
      class="card card-settled"
      data-item={item.id}
      data-grade="none"
      aria-label={item.title}
    >
      <header>
        <h3>{item.title}</h3>
      </header>
      <p>{visit.judged(item.id)?.reasons[0]?.text}</p>
      <button type="button" class="more" onClick={onOpen}>
        {words.item.anyway}
        <span class="visually-hidden">: {item.title}</span>
      </button>
    </article>
  );
}

export function Card({
  visit,
  item,
  fresh = NONE_NEW,
}: {
  visit: Visit;
  item: Item;
  /** Cautions that the person meets here for the first time. */
  fresh?: ReadonlySet<string>;
}) {
  const [open, setOpen] = useState(false);
  const [preview, setPreview] = useState<ItemJudgment | null>(null);
  const judged = visit.judged(item.id);
  // what is recorded and judged replaces what was only being typed
  useEffect(() => setPreview(null), [judged]);
  const shown = preview ?? judged;
  const grade = shownGrade(visit, item);
  const own = gradeValue(visit, item);
  const choice = visit.value(`items/${item.id}/choice`);
  const fault = grade !== null && grade !== "none";
  const domId = item.id.replaceAll(".", "-");
  const [anyway, setAnyway] = useState(false);
  const hasChoices = (item.choices ?? []).length > 0 && item.answers.includes("choice");
  const long = (item.choices ?? []).some(
    ({ title }) => title.length > LONG_TITLE || LONG_WORD.test(title),
  );
  const overruling = own !== null && own.grade !== "uninspected";
  const record = (put: string, value: unknown, said: string) =>
    void visit.put(
      [{ put: `items/${item.id}/${put}`, value: value as never }],
      words.item.recorded(item.title, said),
    );
  const gradeTap = (id: string) => {
    const grade = id as Grade;
    void visit.put(graded(visit, item, grade), words.item.recorded(item.title, words.grade[grade]));
  };
  // a choice answers what "not inspected" left open: the two do not stand together
  const chooseTap = (id: string) => {
    const title = item.choices?.find((one) => one.id === id)?.title ?? id;
    const changes: Change[] = [{ put: `items/${item.id}/choice`, value: id }];
    if (own?.grade === "uninspected") changes.push(...graded(visit, item, null));
    void visit.put(changes, words.item.recorded(item.title, title));
  };
  const photos = photosOf(visit, item.id).length;
  const note = visit.text(`items/${item.id}/note`);
  if (judged?.asked === false && judged.by === "implied" && !anyway) {
    return <Settled visit={visit} item={item} onOpen={() => setAnyway(true)} />;
  }
  return (
    <article
      class="card"
      id={`item-${domId}`}
      data-item={item.id}
      data-grade={grade ?? "open"}
      aria-labelledby={`title-${domId}`}
    >
      <header>
        <h3 id={`title-${domId}`} tabIndex={-1}>
          {item.title}
        </h3>
        <GradeWord
          grade={shown?.grade ?? grade}
          judging={shown === undefined && typeof choice === "string"}
        />
      </header>
      <p class="look">{item.look}</p>
      <Cautions visit={visit} ids={item.cautions ?? []} fresh={fresh} whole={open} />
      <Readings visit={visit} item={item} onPreview={setPreview} />
      {hasChoices && (
        <Choices
          className={long ? "answers one-a-row" : "answers"}
          label={`${words.item.choice}: ${item.title}`}
          options={[...choiceOptions(item), ...GRADE_OPTIONS.slice(-1)]}
          chosen={
            own?.grade === "uninspected" ? own.grade : typeof choice === "string" ? choice : null
          }
          onChoose={(id) => {
            if (id === "uninspected") gradeTap(id);
            else chooseTap(id);
          }}
        />
      )}
      {hasChoices && (open || overruling) && <p class="chips-title">{words.item.otherwise}</p>}
      {(!hasChoices || open || overruling) && (
        <Choices
          className="answers grades"
          label={`${words.item.grade}: ${item.title}`}
          options={hasChoices ? GRADE_OPTIONS.slice(0, -1) : GRADE_OPTIONS}
          chosen={own?.grade ?? null}
          onChoose={gradeTap}
        />
      )}
      <Reasons visit={visit} item={item} judged={shown} />
      <Conflicts visit={visit} item={item} />
      <WhyChips visit={visit} item={item} />
      {(fault || open || photos > 0) && <Photos visit={visit} item={item} />}
      {(open || note !== "") && (
        <Field
          id={`note-${domId}`}
          label={words.item.note}
          value={note}
          multiline
          onRecord={(text) => record("note", text === "" ? null : text, text === "" ? "–" : text)}
        />
      )}
      {item.answers.includes("text") && (
        <Field
          id={`text-${domId}`}
          label={words.item.text}
          value={visit.text(`items/${item.id}/text`)}
          onRecord={(text) => record("text", text === "" ? null : text, text === "" ? "–" : text)}
        />
      )}
      {open && (
        <dl class="how">
          <dt>{words.item.how}</dt>
          <dd>{item.how}</dd>
          {item.where !== undefined && (
            <>
              <dt>{words.item.where}</dt>
              <dd>{item.where}</dd>
            </>
          )}
        </dl>
      )}
      <button type="button" class="more" aria-expanded={open} onClick={() => setOpen(!open)}>
        {open ? words.item.less : words.item.details}
        <span class="visually-hidden">: {item.title}</span>
      </button>
    </article>
  );
}
