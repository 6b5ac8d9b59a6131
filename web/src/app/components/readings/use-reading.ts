/** One reading's field: what is typed, when it is recorded, how it is judged meanwhile. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Item, ItemJudgment, Reading } from "../../../shared/contract";
import { pendingInput } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { placeName, withUnit } from "../../text/names";
import {
  ONLY_PLACE,
  readingPut,
  shownTyped,
  type Typed,
  typedValue,
} from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";

const PAUSE_MS = 500;
const FREE_TEXT = new Set(["date", "code"]);

export interface ReadingProps {
  visit: Visit;
  item: Item;
  reading: Reading;
  place: string;
  unit: string;
  onPreview: (judged: ItemJudgment | null) => void;
}

/** The field as its input and buttons see it. */
export interface ReadingField {
  id: string;
  name: string;
  typed: string;
  isFreeText: boolean;
  change: (text: string) => void;
  record: (text: string) => void;
  enter: () => void;
  leave: () => void;
}

/** Whether a quantity is written in letters, and has no unit. */
export function isFreeText({ quantity }: Reading): boolean {
  return FREE_TEXT.has(quantity);
}

/** "Pad remaining, front left". */
function nameOf({ title }: Reading, place: string): string {
  if (place === ONLY_PLACE) return title;
  return text("phone-reading-at", { reading: title, place: placeName(place) });
}

export function useReading(props: ReadingProps): ReadingField {
  const { visit, item, reading, place, unit, onPreview } = props;
  const put = readingPut(visit, item, reading, place);
  const stored = visit.value(put) as Typed | null;
  const storedText = shownTyped(reading, stored);
  const [typed, setTyped] = useState(storedText);
  const isDirty = useRef(false);
  const isEntered = useRef(false);
  /** Whether the next value to come is what was typed here; it is shown once the field is left. */
  const isOwn = useRef(false);
  const came = useRef<string | null>(null);
  const timer = useRef(0);
  const name = nameOf(reading, place);
  // what was recorded elsewhere shows here, but never under the person's fingers
  useEffect(() => {
    if (isOwn.current && isEntered.current) came.current = storedText;
    else if (!isDirty.current) setTyped(storedText);
    isOwn.current = false;
  }, [storedText]);
  const enter = () => {
    isEntered.current = true;
    came.current = null;
  };
  const leave = () => {
    isEntered.current = false;
    if (isDirty.current) record(typed);
    else if (came.current !== null) setTyped(came.current);
  };
  const record = (typedNow: string) => {
    clearTimeout(timer.current);
    if (!isDirty.current) return;
    isDirty.current = false;
    isOwn.current = true;
    const trimmed = typedNow.trim();
    if (trimmed === storedText && unit === (stored?.unit ?? unit)) return;
    const made = typedValue(reading, trimmed, unit);
    const value = made && stored?.from ? { ...made, from: stored.from } : made;
    const shown = shownTyped(reading, value);
    const answer = value === null ? text("phone-item-nothing") : withUnit(shown, unit);
    void visit.put([{ put, value }], text("phone-item-recorded", { title: name, answer }));
  };
  useEffect(() => pendingInput.add(() => record(typed)));
  const change = (text: string) => {
    isDirty.current = true;
    setTyped(text);
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => record(text), PAUSE_MS);
    const value = typedValue(reading, text, unit);
    void visit.preview(item.id, put, value).then(onPreview);
  };
  return {
    id: domId(put),
    name,
    typed,
    record,
    change,
    isFreeText: isFreeText(reading),
    enter,
    leave,
  };
}

function domId(put: string): string {
  return `reading-${put.replace(/[^a-z0-9-]/g, "-")}`;
}
