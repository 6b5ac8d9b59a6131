/** A clock that is off is told by how much: reports take their dates and times from it. */

import { syncState } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { duration } from "../../text/formats";

import "./notices.css";

const OFF_MS = 5 * 60_000;

export function ClockNotice() {
  const { skew } = syncState.value;
  if (Math.abs(skew) < OFF_MS) return null;
  const time = duration(Math.abs(skew));
  return (
    <div class="note clock" role="status">
      <p>
        <strong>
          {skew < 0 ? text("phone-clock-ahead", { time }) : text("phone-clock-behind", { time })}
        </strong>
      </p>
      <p class="hint">{text("phone-clock-means")}</p>
    </div>
  );
}
