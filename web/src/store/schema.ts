/** What lies in the browser's database: the log, the photos, and what is derived from the log. */

import type { DBSchema, IDBPDatabase, IDBPTransaction } from "idb";
import type { Assessment } from "../shared/contract";
import type { Cells, Json, Live, LogEvent } from "../shared/event";
import type { Said } from "../shared/said";

export interface PhotoRow {
  sha256: string;
  visit: string;
  type: string;
  /** WebKit cannot be trusted with Blobs in IndexedDB: bytes and type instead. */
  bytes: ArrayBuffer;
}

export interface PhotoCard {
  sha256: string;
  visit: string;
  size: number;
  type: string;
  thumb: ArrayBuffer | null;
  /** 0 = still to be sent, 1 = the server said that it holds it. */
  held: 0 | 1;
  /** ms since 1970 */
  stored: number;
  /** Why the server will not have it. */
  refused?: Said;
}

/** A recording under way, or one that a page left behind which ended before it was whole. */
export interface TakeRow {
  take: string;
  visit: string;
  kind: "engine" | "voice";
  type: string;
  /** When it began, with zone. */
  taken: string;
  /** Where in the walk. */
  near: Json;
  /** The check that it was recorded for. */
  item?: string;
}

/** A piece of a recording: about a second, in the order of its number. */
export interface PieceRow {
  take: string;
  number: number;
  /** From the beginning of the recording to the end of this piece, ms. */
  until_ms: number;
  bytes: ArrayBuffer;
}

export interface GroupRow {
  scope: string;
  group: string;
  cells: Cells;
  live: Live;
}

export interface VisitRow {
  visit: string;
  /** ms since 1970 of the first and the latest event this phone has seen. */
  first: number;
  last: number;
}

/** How far this phone holds another device's chain. */
export interface ChainRow {
  device: string;
  /** Its public key. */
  key: string;
  seq: number;
  /** Hash of event `seq`. */
  head: string;
  /** The first event that is missing before `seq`, if any is. */
  hole?: number;
}

/** A signature over the hash of an event: with it, anybody may bring the events up to there. */
export interface SignatureRow {
  device: string;
  seq: number;
  signature: string;
}

export interface AssessmentRow {
  visit: string;
  bundle: string;
  today: string;
  /** Latest stamp of the record that was judged. */
  stamp?: string;
  assessment: Assessment;
}

export interface DirtyRow {
  scope: string;
  group: string;
  token: string;
}

export interface Schema extends DBSchema {
  events: {
    key: [string, number];
    value: LogEvent;
    indexes: { by_path: [string, string] };
  };
  chains: { key: string; value: ChainRow };
  signatures: { key: [string, number]; value: SignatureRow };
  groups: { key: [string, string]; value: GroupRow };
  dirty: { key: [string, string]; value: DirtyRow };
  visits: { key: string; value: VisitRow };
  assessments: { key: string; value: AssessmentRow };
  photos: { key: string; value: PhotoRow };
  cards: { key: string; value: PhotoCard; indexes: { by_held: number; by_visit: string } };
  takes: { key: string; value: TakeRow };
  pieces: { key: [string, number]; value: PieceRow };
  meta: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Schema>;
export type StoreName =
  | "events"
  | "chains"
  | "signatures"
  | "groups"
  | "dirty"
  | "visits"
  | "assessments"
  | "photos"
  | "cards"
  | "takes"
  | "pieces"
  | "meta";
export type Writing = IDBPTransaction<Schema, StoreName[], "readwrite">;

/** A database of app 0.1 has 1 and cannot be read; protocol 2 began with 2; 3 has recordings. */
export const VERSION = 3;
export const OLDEST_READ = 2;

/** Make the stores of a new database, or those that an older one lacks. */
export function create(database: Database, from: number): void {
  if (from < 2) createFirst(database);
  database.createObjectStore("takes", { keyPath: "take" });
  database.createObjectStore("pieces", { keyPath: ["take", "number"] });
}

function createFirst(database: Database): void {
  const events = database.createObjectStore("events", { keyPath: ["device", "seq"] });
  events.createIndex("by_path", ["scope", "put"]);
  database.createObjectStore("chains", { keyPath: "device" });
  database.createObjectStore("signatures", { keyPath: ["device", "seq"] });
  database.createObjectStore("groups", { keyPath: ["scope", "group"] });
  database.createObjectStore("dirty", { keyPath: ["scope", "group"] });
  database.createObjectStore("visits", { keyPath: "visit" });
  database.createObjectStore("assessments", { keyPath: "visit" });
  database.createObjectStore("photos", { keyPath: "sha256" });
  const cards = database.createObjectStore("cards", { keyPath: "sha256" });
  cards.createIndex("by_held", "held");
  cards.createIndex("by_visit", "visit");
  database.createObjectStore("meta");
}

/** All events of a device from one seq to another. */
export function ofDevice(
  device: string,
  from = 0,
  to: number = Number.MAX_SAFE_INTEGER,
): IDBKeyRange {
  return IDBKeyRange.bound([device, from], [device, to]);
}

/** All rows of a scope, whatever their group or path. */
export function ofScope(scope: string): IDBKeyRange {
  return IDBKeyRange.bound([scope, ""], [scope, "\uffff"]);
}
