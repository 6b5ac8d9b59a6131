/** What the log holds and what travels: the event, the cell it folds into, a batch of events. */

/** Of the log and of sync: server/bradawl/log/README.md. */
export const PROTOCOL = 2;

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

/** One fact that somebody recorded. Never changed; of an erased one value and salt are gone. */
export interface LogEvent {
  device: string;
  /** 1, 2, 3 … per device without gaps. */
  seq: number;
  /** SHA-256 of this device's previous event; "" for the first. */
  prev: string;
  /** Hybrid logical clock: fixed width, sorts as text. */
  at: string;
  /** `inspection/ID`, `car/ID` or `shop`. */
  scope: string;
  put: string;
  /** Stands for the value: base64url(SHA-256(salt ‖ value)). */
  commit: string;
  /** Ids of the live events that the writer saw at this path, sorted. */
  over: string[];
  /** Canonical JSON as a text; `null` takes back. */
  value?: string;
  /** 16 random bytes, base64url. */
  salt?: string;
}

/** An event as it travels: what follows from its batch and its value is left out. */
export type SentEvent = Pick<LogEvent, "at" | "over" | "put" | "scope" | "salt" | "value"> & {
  commit?: string;
};

/** Consecutive events of one device; `signature` is the device's, over the last one's hash. */
export interface Batch {
  protocol?: number;
  device: string;
  key: string;
  from_seq: number;
  prev: string;
  events: SentEvent[];
  head: string;
  signature: string;
}

/** An event as the judge reads it: with its value, as it is shown. */
export type JudgedEvent = Pick<
  LogEvent,
  "device" | "seq" | "at" | "commit" | "put" | "over" | "scope"
> & { value: Json };

/** An event before it has a place in the chain. */
export interface Put {
  scope: string;
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

/** Ids of what stands, per path: what its next writer names in `over`. */
export type Live = Record<string, string[]>;

/** The shop's orders, as the judge reads them: ranges are [from_seq, to_seq, …]. */
export interface Orders {
  clock: Record<string, [number, number, number][]>;
  /** `to_seq` null: and all later ones. */
  fence: Record<string, [number, number | null, string][]>;
  erase: { device: string; seq: number; put: string; commit: string }[];
}

export const SHOP = "shop";
export const CONTINUES = "device/continues";

export function inspection(visit: string): string {
  return `inspection/${visit}`;
}

/** The inspection of a scope; null for any other scope. */
export function visitOf(scope: string): string | null {
  return scope.startsWith("inspection/") ? scope.slice(11) : null;
}

/** The inspections that these events are of. */
export function visitsOf(events: Pick<LogEvent, "scope">[]): string[] {
  const visits = events.map(({ scope }) => visitOf(scope)).filter((visit) => visit !== null);
  return [...new Set(visits)];
}

/** The part of the record that is folded and judged at a time: the first two path segments. */
export function groupOf(put: string): string {
  const [first = "", second = ""] = put.split("/");
  return `${first}/${second}`;
}
