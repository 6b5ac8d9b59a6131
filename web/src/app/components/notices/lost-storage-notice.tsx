/** At a start: the browser had dropped this phone's storage before. Said until it was read. */

import { useEffect, useState } from "preact/hooks";
import { facts, syncState } from "../../state/this-page";
import { text } from "../../text/catalogue";

import "./notices.css";

export function LostStorageNotice() {
  const [isLost, setLost] = useState(false);
  const answered = syncState.value.answered;
  useEffect(() => {
    void answered;
    void facts.read("lost").then(
      (device) => setLost(device != null),
      () => undefined,
    );
  }, [answered]);
  if (!isLost) return null;
  return (
    <div class="note" role="status">
      <p>
        <strong>{text("phone-gone-returned")}.</strong> {text("phone-gone-returned-means")}
      </p>
      <button
        type="button"
        onClick={() => {
          // once it is kept: the app may be closed as soon as the notice is gone
          void facts.write("lost", null).then(
            () => setLost(false),
            () => setLost(false),
          );
        }}
      >
        {text("phone-gone-read")}
      </button>
    </div>
  );
}
