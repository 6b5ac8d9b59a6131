/** What the app says at the top or the foot of any screen: alarm, judge, the last thing recorded. */

import { alarm, judges, notice } from "../../state/this-page";
import { say, text } from "../../text/catalogue";

import "./message-bars.css";

export function AlarmBar() {
  const now = alarm.value;
  if (now === null) return null;
  return (
    <div class="alarm" role="alert">
      <p>
        <strong>{text("phone-alarm-title")}</strong> {say(now.said)}
      </p>
      {now.again !== null && (
        <button type="button" onClick={() => now.again?.()}>
          {text("phone-alarm-again")}
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
      <p>{text("phone-alarm-judge")}</p>
      <p class="hint">{say(problem)}</p>
      <button type="button" onClick={() => void judges.restart().catch(() => undefined)}>
        {text("phone-alarm-restart")}
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
              {text("phone-undo")}
            </button>
          )}
        </>
      )}
    </div>
  );
}
