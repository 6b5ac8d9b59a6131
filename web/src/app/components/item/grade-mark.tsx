/**
 * The grade as a mark: a small plate, punched as an awl leaves it. No hole: no fault; one, two,
 * three holes: minor, major, dangerous; a dashed outline: not inspected; nothing: still open.
 */

import type { Grade } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";

import "./grade-mark.css";

const HOLES: Record<Grade, number[]> = {
  none: [],
  minor: [20],
  major: [14, 26],
  dangerous: [10, 20, 30],
  uninspected: [],
};

export function GradeMark({ grade }: { grade: Grade | null }) {
  return (
    <svg class={`plate plate-${grade ?? "open"}`} viewBox="0 0 40 24" aria-hidden="true">
      <rect x="2" y="2" width="36" height="20" rx="5" />
      {grade !== null && HOLES[grade].map((x) => <circle key={x} cx={x} cy="12" r="3.4" />)}
    </svg>
  );
}

/** The mark with its word. `judging`: it is answered, and what it comes to is being worked out. */
export function GradeWord({ grade, judging = false }: { grade: Grade | null; judging?: boolean }) {
  const none = judging ? text("phone-grade-checking") : text("grade-open");
  return (
    <span class={`grade grade-${grade ?? "open"}`}>
      <GradeMark grade={grade} /> {grade === null ? none : gradeName(grade)}
    </span>
  );
}
