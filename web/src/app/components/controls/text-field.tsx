/** A line of text to type. It is recorded when typing pauses and when the field is left. */

import { useEffect, useRef, useState } from "preact/hooks";
import { pendingInput } from "../../state/this-page";

import "./text-field.css";

const PAUSE_MS = 700;

export function TextField({
  label,
  value,
  onRecord,
  hint,
  inputMode = "text",
  multiline = false,
  autocomplete = "off",
  id,
  problem,
}: {
  label: string;
  value: string;
  onRecord: (text: string) => void;
  hint?: string;
  inputMode?: "text" | "numeric" | "decimal";
  multiline?: boolean;
  autocomplete?: string;
  id: string;
  problem?: string | null;
}) {
  const [typed, setTyped] = useState(value);
  const dirty = useRef(false);
  const timer = useRef(0);
  // what was recorded elsewhere shows here, but never under the person's fingers
  useEffect(() => {
    if (!dirty.current) setTyped(value);
  }, [value]);
  const record = (text: string) => {
    clearTimeout(timer.current);
    if (!dirty.current) return;
    dirty.current = false;
    if (text !== value) onRecord(text);
  };
  useEffect(() => pendingInput.add(() => record(typed)));
  const onInput = (event: Event) => {
    const text = (event.currentTarget as HTMLInputElement | HTMLTextAreaElement).value;
    dirty.current = true;
    setTyped(text);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => record(text), PAUSE_MS);
  };
  const described = [hint === undefined ? "" : `${id}-hint`, problem == null ? "" : `${id}-problem`]
    .filter((id) => id !== "")
    .join(" ");
  const common = {
    id,
    value: typed,
    onInput,
    onBlur: () => record(typed),
    "aria-describedby": described === "" ? undefined : described,
    "aria-invalid": problem == null ? undefined : true,
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {problem != null && (
        <p class="wrong" id={`${id}-problem`}>
          {problem}
        </p>
      )}
      {multiline ? (
        <textarea rows={2} {...common} />
      ) : (
        <input type="text" inputMode={inputMode} autocomplete={autocomplete} {...common} />
      )}
    </div>
  );
}
