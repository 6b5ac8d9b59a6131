/** A clock that is off is told by how much: reports take their dates and times from it. */

import { duration } from "../../device/local-time";
import { syncState } from "../../state/this-page";
import { words } from "../../text/en";

import "./notices.css";

const OFF_MS = 5 * 60_000;

export function ClockNotice() {
  const { skew } = syncState.value;
  if (Math.abs(skew) < OFF_MS) return null;
  const text = duration(Math.abs(skew));
  return (
    <div class="note clock" role="status">
      <p>
        <strong>{skew < 0 ? words.clock.ahead(text) : words.clock.behind(text)}</strong>
      </p>
      <p class="hint">{words.clock.means}</p>
    </div>
  );
}
