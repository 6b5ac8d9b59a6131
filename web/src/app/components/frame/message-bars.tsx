/** What the app says at the top or the foot of any screen: alarm, judge, the last thing recorded. */

import { alarm, judges, notice } from "../../state/this-page";
import { words } from "../../text/en";

import "./message-bars.css";

export function AlarmBar() {
  const now = alarm.value;
  if (now === null) return null;
  return (
    <div class="alarm" role="alert">
      <p>
        <strong>{words.alarm.title}.</strong> {now.text}
      </p>
      {now.again !== null && (
        <button type="button" onClick={() => now.again?.()}>
          {words.alarm.again}
        </button>
      )}
    </div>
  );
}

export function JudgeBar() {
  const problem = judges.problem.value;
  if (problem === null) return null;
  return (
    <div class="trouble" role="status">
      <p>{words.alarm.judge}</p>
      <p class="hint">{problem}</p>
      <button type="button" onClick={() => void judges.restart().catch(() => undefined)}>
        {words.alarm.restart}
      </button>
    </div>
  );
}

export function NoticeBar() {
  const now = notice.value;
  return (
    <div class="notice" role="status" hidden={now === null}>
      {now !== null && (
        <>
          <p>{now.text}</p>
          {now.undo !== null && (
            <button type="button" onClick={() => void now.undo?.()}>
              {words.undo}
            </button>
          )}
        </>
      )}
    </div>
  );
}
