/** What the log holds and what travels: the event, the cell it folds into, a batch of events. */

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** One fact that somebody recorded. Never changed, never deleted. */
export interface LogEvent {
  device: string;
  /** 1, 2, 3 … per device without gaps. */
  seq: number;
  /** SHA-256 of the canonical JSON of this device's previous event; "" for the first. */
  prev: string;
  /** Hybrid logical clock: fixed width, sorts as text. */
  at: string;
  visit: string;
  put: string;
  /** `null` takes back. */
  value: Json;
  /** The live stamps that the writer had at this path, sorted. */
  over: string[];
  /** Set by the server when it shows this value to nobody any more: the hash as it was recorded. */
  withheld?: string;
}

/** An event before it has a place in the chain. */
export interface Put {
  visit: string;
  put: string;
  value: Json;
}

export interface Cell {
  value: Json;
  at: string;
  /** Values written unseen by the winner's writer, newest first. */
  others: { value: Json; at: string }[];
}

export type Cells = Record<string, Cell>;

export interface Batch {
  device: string;
  from_seq: number;
  prev: string;
  events: Pick<LogEvent, "at" | "visit" | "put" | "value" | "over" | "withheld">[];
  head: string;
}

/** The part of the record that is folded and judged at a time: the first two path segments. */
export function groupOf(put: string): string {
  const [first = "", second = ""] = put.split("/");
  return `${first}/${second}`;
}
