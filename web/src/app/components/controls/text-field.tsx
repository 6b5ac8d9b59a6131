/** A line of text to type. It is recorded when typing pauses and when the field is left. */

import { useEffect, useRef, useState } from "preact/hooks";
import { pendingInput } from "../../state/this-page";

import "./text-field.css";

const PAUSE_MS = 700;

/** What is typed, until it is recorded: after a pause, as the field is left or the page hidden. */
function useTyped(value: string, onRecord: (text: string) => void) {
  const [typed, setTyped] = useState(value);
  const isDirty = useRef(false);
  const isEntered = useRef(false);
  /** Whether the next value to come is what was typed here; it is shown once the field is left. */
  const isOwn = useRef(false);
  const came = useRef<string | null>(null);
  const timer = useRef(0);
  // what was recorded elsewhere shows here, but never under the person's fingers
  useEffect(() => {
    if (isOwn.current && isEntered.current) came.current = value;
    else if (!isDirty.current) setTyped(value);
    isOwn.current = false;
  }, [value]);
  const record = (text: string) => {
    clearTimeout(timer.current);
    if (!isDirty.current) return;
    isDirty.current = false;
    isOwn.current = true;
    if (text !== value) onRecord(text);
  };
  useEffect(() => pendingInput.add(() => record(typed)));
  const onInput = (event: Event) => {
    const text = (event.currentTarget as HTMLInputElement | HTMLTextAreaElement).value;
    isDirty.current = true;
    setTyped(text);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => record(text), PAUSE_MS);
  };
  const onFocus = () => {
    isEntered.current = true;
    came.current = null;
  };
  const onBlur = () => {
    isEntered.current = false;
    if (isDirty.current) record(typed);
    else if (came.current !== null) setTyped(came.current);
  };
  return { value: typed, onInput, onFocus, onBlur };
}

export function TextField({
  label,
  value,
  onRecord,
  inputMode = "text",
  multiline = false,
  id,
  problem = null,
}: {
  label: string;
  value: string;
  onRecord: (text: string) => void;
  inputMode?: "text" | "numeric" | "decimal";
  multiline?: boolean;
  id: string;
  problem?: string | null;
}) {
  const isWrong = problem !== null;
  const common = {
    ...useTyped(value, onRecord),
    id,
    "aria-describedby": isWrong ? `${id}-problem` : undefined,
    "aria-invalid": isWrong ? true : undefined,
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {isWrong && (
        <p class="wrong" id={`${id}-problem`}>
          {problem}
        </p>
      )}
      {multiline ? (
        <textarea rows={2} {...common} />
      ) : (
        <input type="text" inputMode={inputMode} autocomplete="off" {...common} />
      )}
    </div>
  );
}
