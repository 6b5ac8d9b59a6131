/** A button whose act cannot be taken back: it asks once more, in its own place. */

import { useState } from "preact/hooks";
import { words } from "../text/en";

export function Twice({
  text,
  sure,
  no = words.trouble.keep,
  onSure,
}: {
  text: string;
  sure: string;
  no?: string;
  onSure: () => Promise<void>;
}) {
  const [asked, setAsked] = useState(false);
  const [busy, setBusy] = useState(false);
  if (!asked) {
    return (
      <button type="button" class="button" onClick={() => setAsked(true)}>
        {text}
      </button>
    );
  }
  return (
    <div class="twice">
      <button
        type="button"
        class="button danger"
        disabled={busy}
        onClick={() => {
          setBusy(true);
          void onSure().finally(() => {
            setBusy(false);
            setAsked(false);
          });
        }}
      >
        {sure}
      </button>
      <button type="button" class="button" onClick={() => setAsked(false)}>
        {no}
      </button>
    </div>
  );
}
