/** A button whose act cannot be taken back: it asks once more, in its own place. */

import { useState } from "preact/hooks";
import { words } from "../../text/en";

import "./confirm-button.css";

export function ConfirmButton({
  text,
  sure,
  no = words.syncIssues.keep,
  onSure,
}: {
  text: string;
  sure: string;
  no?: string;
  onSure: () => Promise<void>;
}) {
  const [isAsking, setAsking] = useState(false);
  const [isBusy, setBusy] = useState(false);
  if (!isAsking) {
    return (
      <button type="button" class="button" onClick={() => setAsking(true)}>
        {text}
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
        {no}
      </button>
    </div>
  );
}
