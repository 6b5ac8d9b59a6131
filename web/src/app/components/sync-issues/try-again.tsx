/** The button that tries everything again that the server would not have. */

import { sync } from "../../state/this-page";
import { text } from "../../text/catalogue";

export function TryAgain() {
  return (
    <button type="button" class="button" onClick={() => void sync.tryAgain()}>
      {text("phone-issue-again")}
    </button>
  );
}
