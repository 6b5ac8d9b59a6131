/** Why an item has its grade, by one tap: what is wrong, why it was not looked at, why it overrules. */

import type { Grade, Item, ItemJudgment } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import type { MessageId } from "../../../shared/said";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { type Chip, recordedText, whysOf } from "../../text/say";
import { type GradeValue, gradeChanges, gradeValue } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { ChoiceButtons } from "../controls/choice-buttons";
import { TextField } from "../controls/text-field";
import { domId } from "./dom-id";

const WHY_NOT: MessageId[] = [
  "chip-not-access",
  "chip-not-safe",
  "chip-not-seller",
  "chip-not-dark",
  "chip-not-tool",
  "chip-not-time",
];
const WHY_OVER: MessageId[] = [
  "chip-over-again",
  "chip-over-gauge",
  "chip-over-new",
  "chip-over-known",
];

/** A grade milder than the measured one counts only with its reason: it is asked for at once. */
function isOverruling(value: GradeValue | null, judged: ItemJudgment | undefined): boolean {
  if (judged?.overruled === true) return true;
  const measured = judged?.measured ?? null;
  return (
    value !== null && value.grade !== "uninspected" && measured !== null && value.grade !== measured
  );
}

/** The grade that wants a reason; null where none is wanted. */
function gradeToExplain(
  value: GradeValue | null,
  judged: ItemJudgment | undefined,
  isOver: boolean,
): Grade | null {
  const grade = value?.grade ?? judged?.grade ?? "none";
  return grade === "none" && (value === null || !isOver) ? null : grade;
}

function chipsFor(
  { bundle }: Visit,
  item: Item,
  grade: Grade,
  isOver: boolean,
): { label: string; chips: Chip[] } {
  const terms = (ids: MessageId[]) => ids.map((term) => ({ term }));
  if (grade === "uninspected") return { label: text("phone-item-why-not"), chips: terms(WHY_NOT) };
  if (isOver) return { label: text("phone-item-why-over"), chips: terms(WHY_OVER) };
  return { label: text("phone-item-whys"), chips: whysOf(item, bundle.rules) };
}

export function ReasonChips({ visit, item }: { visit: Visit; item: Item }) {
  const value = gradeValue(visit, item);
  const judged = visit.judged(item.id);
  const isOver = isOverruling(value, judged);
  const grade = gradeToExplain(value, judged, isOver);
  if (grade === null) return null;
  const { label, chips } = chipsFor(visit, item, grade, isOver);
  const shown = (why: Json) => recordedText(why, visit.bundle.rules);
  const record = (why: string | Chip) => {
    if (value === null) {
      const put = `items/${item.id}/note`;
      void visit.put(
        [{ put, value: why }],
        text("phone-item-recorded", { title: item.title, answer: shown(why) }),
      );
    } else {
      const answer = text("phone-item-grade-why", { grade: gradeName(grade), why: shown(why) });
      const told = text("phone-item-recorded", { title: item.title, answer });
      void visit.put(gradeChanges(visit, item, grade, why), told);
    }
  };
  return (
    <>
      {chips.length > 0 && <p class="chips-title">{label}</p>}
      {chips.length > 0 && (
        <ChoiceButtons
          className="chips"
          label={label}
          options={chips.map((why) => ({ id: shown(why), title: shown(why) }))}
          chosen={shown(visit.value(`items/${item.id}/${value === null ? "note" : "why"}`))}
          onChoose={(said) => record(chips.find((why) => shown(why) === said) ?? said)}
        />
      )}
      {isOver && (
        <TextField
          id={`why-${domId(item)}`}
          label={text("phone-item-why-else")}
          value={shown(visit.value(`items/${item.id}/why`))}
          onRecord={record}
        />
      )}
    </>
  );
}
