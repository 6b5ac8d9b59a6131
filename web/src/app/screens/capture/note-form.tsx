/** A note that belongs to nothing yet: kept when it is left, however it is left. */

import { useEffect, useRef, useState } from "preact/hooks";
import { newId } from "../../../store/encoding";
import { stampText } from "../../device/local-time";
import { pendingInput } from "../../state/this-page";
import { text } from "../../text/catalogue";
import type { Near } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";

const ID_LETTERS = 12;

/** Records what was typed under one path, if it is another text than before. */
function useNote(visit: Visit, near: Promise<Near>) {
  const [typed, setTyped] = useState("");
  const now = useRef("");
  const kept = useRef("");
  const put = useRef(`notes/${newId().slice(0, ID_LETTERS)}`);
  now.current = typed.trim();
  const keep = async () => {
    const said = now.current;
    if (said === kept.current) return;
    kept.current = said;
    const value =
      said === "" ? null : { text: said, taken: stampText(), near: { ...(await near) } };
    await visit.put([{ put: put.current, value }], text("capture-note-kept"));
  };
  useEffect(() => {
    // a page that is hidden may never come back
    const forget = pendingInput.add(() => void keep());
    return () => {
      forget();
      void keep();
    };
  }, []);
  return { typed, setTyped };
}

export function NoteForm({
  visit,
  near,
  onClose,
}: {
  visit: Visit;
  near: Promise<Near>;
  onClose: () => void;
}) {
  const { typed, setTyped } = useNote(visit, near);
  const field = useRef<HTMLTextAreaElement>(null);
  useEffect(() => field.current?.focus(), []);
  return (
    <>
      <label for="capture-note">{text("capture-note")}</label>
      <textarea
        ref={field}
        id="capture-note"
        rows={4}
        value={typed}
        onInput={({ currentTarget }) => setTyped(currentTarget.value)}
      />
      <button type="button" class="main" onClick={onClose}>
        {text(typed.trim() === "" ? "phone-back" : "capture-note-keep")}
      </button>
    </>
  );
}
