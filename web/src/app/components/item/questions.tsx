/** Answers that cannot both be right: what is asked, the other items one tap away, and why both are. */

import { useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { type Chip, recordedText, say } from "../../text/say";
import { gradeChanges, gradeValue } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons } from "../controls/choice-buttons";
import { TextField } from "../controls/text-field";
import { MarkWord } from "../grades/grade-mark";
import { domId } from "./dom-id";

const WHY_BOTH: Chip[] = [
  { term: "chip-both-again" },
  { term: "chip-both-place" },
  { term: "chip-both-since" },
];

interface QuestionsProps {
  visit: Visit;
  item: Item;
  judged: ItemJudgment;
}

/** The other items that a question is about. */
function others(visit: Visit, item: Item, question: string): Item[] {
  const asked = (visit.assessment.value?.questions ?? []).find(
    ({ items, said }) => items.includes(item.id) && say(said, visit.bundle.rules) === question,
  );
  const ids = (asked?.items ?? []).filter((id) => id !== item.id);
  return visit.bundle.items.filter(({ id }) => ids.includes(id));
}

/** A reason stands with the grade that counts; a milder one needs the grade's own buttons. */
function BothAreRight({ visit, item, judged }: QuestionsProps) {
  const grade = judged.grade ?? judged.measured ?? gradeValue(visit, item)?.grade ?? "none";
  const shown = (why: Json) => recordedText(why, visit.bundle.rules);
  const record = (why: string | Chip) => {
    const answer = text("phone-item-grade-why", { grade: gradeName(grade), why: shown(why) });
    const told = text("phone-item-recorded", { title: item.title, answer });
    void visit.put(gradeChanges(visit, item, grade, why), told);
  };
  const label = text("phone-item-both-right");
  return (
    <>
      <p class="chips-title">{label}</p>
      <ChoiceButtons
        className="chips"
        label={label}
        options={WHY_BOTH.map((why) => ({ id: shown(why), title: shown(why) }))}
        chosen={null}
        onChoose={(said) => record(WHY_BOTH.find((why) => shown(why) === said) ?? said)}
      />
      <TextField
        id={`both-${domId(item)}`}
        label={text("phone-item-why-else")}
        value=""
        onRecord={record}
      />
    </>
  );
}

export function Questions({ visit, item, judged }: QuestionsProps) {
  const asked = (judged.problems ?? [])
    .filter(({ code }) => code === "contradiction")
    .map(({ said }) => say(said, visit.bundle.rules));
  // a reason that is being typed settles the question: it stays until the field is left
  const [held, hold] = useState<string[] | null>(null);
  const shown = held ?? asked;
  if (shown.length === 0) return null;
  return (
    <section
      class="conflict"
      aria-label={text("phone-item-question")}
      onFocusIn={({ target }) => target instanceof HTMLInputElement && hold(shown)}
      onFocusOut={() => hold(null)}
    >
      {shown.map((question) => (
        <div key={question}>
          <p class="wrong">
            <MarkWord id="look_here" /> {question}
          </p>
          {others(visit, item, question).map(({ id, area, title }) => (
            <a
              key={id}
              class="button"
              href={address({ screen: "area", visit: visit.id, area, item: id })}
            >
              {title}
            </a>
          ))}
        </div>
      ))}
      <BothAreRight visit={visit} item={item} judged={judged} />
    </section>
  );
}
