/** The button that tries everything again that the server would not have. */

import { sync } from "../../state/this-page";
import { words } from "../../text/en";

export function TryAgain() {
  return (
    <button type="button" class="button" onClick={() => void sync.tryAgain()}>
      {words.syncIssues.again}
    </button>
  );
}
