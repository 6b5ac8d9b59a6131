/** Small facts of this phone: who it is, what the server has, how the person likes it. */

import { type Database, quietly, transact, withDatabase } from "./database";

/** What sync knows. */
export interface SyncMark {
  /** Own events that the server has acknowledged: up to this seq. */
  acknowledged: number;
  /** ms since 1970 of the last real answer, 0 for never. */
  answered: number;
  /** Server's clock minus this phone's, ms, at the last answer. */
  skew: number;
  /** Name of the server's present run; another one means that it was started anew. */
  run: string;
}

export interface Preferences {
  theme: "auto" | "light" | "dark" | "outdoor";
  hand: "right" | "left";
  currency: string;
  inspector: string;
  /** Whether the place that a photo's file names becomes the visit's, where none is noted. */
  photoPlace: boolean;
  /** The unit last chosen for a quantity, such as psi for pressure. */
  units: Record<string, string>;
}

/** What the server gave a phone that asked to be paired; `until` is ms since 1970. */
export interface PairingAsked {
  code: string;
  words: string;
  secret: string;
  until: number;
}

interface Meta {
  device: string;
  sync: SyncMark;
  preferences: Preferences;
  /** Where the person was: route and scroll, so that a restart returns there. */
  place: { route: string; scroll: number };
  /** The visit that is being shown to a seller, if any. */
  seller: string | null;
  /** The request for pairing that this phone shows, if any. */
  pairing: PairingAsked | null;
  /** Set at the first start: its loss shows that the browser dropped the storage. */
  born: number;
  /** Greatest stamp of any device that was seen here. */
  seen: string;
  /** Up to which own seq the rows made from the log follow it. */
  settled: number;
}

export async function readMeta<K extends keyof Meta>(key: K): Promise<Meta[K] | undefined> {
  return withDatabase(async (database) => (await database.get("meta", key)) as Meta[K] | undefined);
}

export async function writeMeta<K extends keyof Meta>(key: K, value: Meta[K]): Promise<void> {
  await transact(["meta"], (tx) => quietly(tx.objectStore("meta").put(value, key)));
}

/** A request as it is kept, of the server's answer to it. */
export function askedNow(answer: {
  code: string;
  words: string;
  secret: string;
  seconds_left: number;
}): PairingAsked {
  const { code, words, secret, seconds_left } = answer;
  return { code, words, secret, until: Date.now() + seconds_left * 1000 };
}

/** 128 random bits as 32 lower-case hex characters. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Asked for with every tap: read once per connection, since a wiped storage comes with a new one. */
const devices = new WeakMap<Database, string>();

/** This phone's own id, made at the first start and the same in every tab. */
export function deviceId(): Promise<string> {
  return withDatabase(async (open) => {
    const device =
      devices.get(open) ??
      ((await open.get("meta", "device")) as string | undefined) ??
      (await makeDevice());
    devices.set(open, device);
    return device;
  });
}

function makeDevice(): Promise<string> {
  return transact(["meta"], async (tx) => {
    const meta = tx.objectStore("meta");
    const known = (await meta.get("device")) as string | undefined;
    if (known !== undefined) return known;
    const device = newId();
    quietly(meta.put(device, "device"));
    quietly(meta.put(Date.now(), "born"));
    return device;
  });
}
