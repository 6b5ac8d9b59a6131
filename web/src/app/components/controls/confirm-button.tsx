/** A button whose act cannot be taken back: it asks once more, in its own place. */

import { useState } from "preact/hooks";
import { text } from "../../text/catalogue";

import "./confirm-button.css";

export function ConfirmButton({
  title,
  sure,
  onSure,
}: {
  title: string;
  sure: string;
  onSure: () => Promise<void>;
}) {
  const [isAsking, setAsking] = useState(false);
  const [isBusy, setBusy] = useState(false);
  if (!isAsking) {
    return (
      <button type="button" class="button" onClick={() => setAsking(true)}>
        {title}
      </button>
    );
  }
  return (
    <div class="twice">
      <button
        type="button"
        class="button danger"
        disabled={isBusy}
        onClick={() => {
          setBusy(true);
          void onSure().finally(() => {
            setBusy(false);
            setAsking(false);
          });
        }}
      >
        {sure}
      </button>
      <button type="button" class="button" onClick={() => setAsking(false)}>
        {text("phone-issue-keep")}
      </button>
    </div>
  );
}
