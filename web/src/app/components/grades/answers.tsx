/** The answers of an item: its choices where it has some, and the five grades. */

import { GRADES, type Grade, type Item } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { choiceChanges, gradeChanges, gradeValue } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons, type Option } from "../controls/choice-buttons";
import { GradeMark } from "./grade-mark";

import "./answers.css";

/** A title of more characters, or with a longer word, wants the whole width of a phone. */
const LONG_TITLE = 22;
const LONG_WORD = /\S{10}/;

function gradeOptions(): Option[] {
  return GRADES.map((id) => ({
    id,
    title: gradeName(id),
    mark: <GradeMark grade={id} />,
    className: `choice-${id}`,
  }));
}

function choiceOptions(item: Item): Option[] {
  return (item.choices ?? []).map(({ id, title, grade }) => ({
    id,
    title,
    mark: grade === undefined ? undefined : <GradeMark grade={grade} />,
    className: grade === undefined ? "" : `choice-${grade}`,
  }));
}

function isLong({ title }: { title: string }): boolean {
  return title.length > LONG_TITLE || LONG_WORD.test(title);
}

export function Answers({ visit, item, isOpen }: { visit: Visit; item: Item; isOpen: boolean }) {
  const own = gradeValue(visit, item)?.grade ?? null;
  const choices = item.answers.includes("choice") ? (item.choices ?? []) : [];
  const areGradesShown = isOpen || (own !== null && own !== "uninspected");
  const giveGrade = (id: string) => {
    const grade = id as Grade;
    const told = text("phone-item-recorded", { title: item.title, answer: gradeName(grade) });
    void visit.put(gradeChanges(visit, item, grade), told);
  };
  const grades = gradeOptions();
  if (choices.length === 0) {
    return <Grades item={item} options={grades} own={own} onChoose={giveGrade} />;
  }
  const choice = visit.value(`items/${item.id}/choice`);
  const choose = (id: string) => {
    const title = choices.find((option) => option.id === id)?.title ?? id;
    void visit.put(
      choiceChanges(visit, item, id),
      text("phone-item-recorded", { title: item.title, answer: title }),
    );
  };
  return (
    <>
      <ChoiceButtons
        className={(item.choices ?? []).some(isLong) ? "answers one-a-row" : "answers"}
        label={text("phone-item-choice", { title: item.title })}
        options={[...choiceOptions(item), ...grades.slice(-1)]}
        chosen={own === "uninspected" ? own : typeof choice === "string" ? choice : null}
        onChoose={(id) => (id === "uninspected" ? giveGrade(id) : choose(id))}
      />
      {areGradesShown && <p class="chips-title">{text("phone-item-otherwise")}</p>}
      {areGradesShown && (
        <Grades item={item} options={grades.slice(0, -1)} own={own} onChoose={giveGrade} />
      )}
    </>
  );
}

function Grades({
  item,
  options,
  own,
  onChoose,
}: {
  item: Item;
  options: Option[];
  own: Grade | null;
  onChoose: (id: string) => void;
}) {
  return (
    <ChoiceButtons
      className="answers grades"
      label={text("phone-item-grade", { title: item.title })}
      options={options}
      chosen={own}
      onChoose={onChoose}
    />
  );
}
