/** The marks of the house, drawn in `server/bradawl/design`, and a grade's mark with its word. */

import type { Grade, GradeOrigin } from "../../../shared/contract";
import { MARK_BOX, MARK_OF_GRADE, MARK_SHAPE, type MarkId } from "../../../shared/marks";
import { text } from "../../text/catalogue";
import { gradeName, markName } from "../../text/names";

import "./grade-mark.css";

export function Mark({ id }: { id: MarkId }) {
  return (
    <svg class={`mark-tag mark-${id}`} viewBox={MARK_BOX} aria-hidden="true">
      <path d={MARK_SHAPE[id]} />
    </svg>
  );
}

export function GradeMark({ grade }: { grade: Grade | null }) {
  return <Mark id={grade === null ? "open" : MARK_OF_GRADE[grade]} />;
}

/** A mark with its word, where it is no grade. */
export function MarkWord({ id }: { id: MarkId }) {
  return (
    <span class={`grade state-${id}`}>
      <Mark id={id} /> {markName(id)}
    </span>
  );
}

/**
 * A grade's mark with its word. `by`: how it came about; `judging`: it is answered, and what it comes
 * to is being worked out; `isMended`: what was found is repaired since.
 */
export function GradeWord({
  grade,
  by = null,
  judging = false,
  isMended = false,
}: {
  grade: Grade | null;
  by?: GradeOrigin | null;
  judging?: boolean;
  isMended?: boolean;
}) {
  const word = (
    <span class={`grade grade-${grade ?? "open"}`}>
      <GradeMark grade={grade} />{" "}
      {grade === null && judging ? text("phone-grade-checking") : gradeName(grade, by)}
    </span>
  );
  if (!isMended) return word;
  return (
    <span class="found-and-mended">
      {word} <MarkWord id="mended" />
    </span>
  );
}
