/** Small facts of this phone: who it is, what the server has, how the person likes it. */

import type { Region } from "../shared/contract";
import type { Orders } from "../shared/event";
import { quietly, type Store } from "./database";
import type { AuthorityKept } from "./exchange/authority";
import type { DeviceKey } from "./keys";

/** What sync knows. */
export interface SyncMark {
  /** Own events that the server has acknowledged: up to this seq. */
  acknowledged: number;
  /** ms since 1970 of the last real answer, 0 for never. */
  answered: number;
  /** Server's clock minus this phone's, ms, at the last answer that told it. */
  skew: number;
  /** Name of the server's present run; another one means that it was started anew. */
  run: string;
  /** The server's clock at that answer, ms since 1970; 0 where none told it. */
  server_ms: number;
}

export const NOTHING_ANSWERED: SyncMark = {
  acknowledged: 0,
  answered: 0,
  skew: 0,
  run: "",
  server_ms: 0,
};

export interface Preferences {
  /** Where the person looks at cars; "" until they said. */
  region: Region | "";
  /** The locale that the person chose; "" for the first of the phone's own that there is. */
  locale: string;
  theme: "auto" | "light" | "dark" | "outdoor";
  hand: "right" | "left";
  /** "" for the region's own. */
  currency: string;
  inspector: string;
  /** Whether the place that a photo's file names becomes the visit's, where none is noted. */
  photoPlace: boolean;
  /** The unit last chosen for a kind of reading (`unitKind`). */
  units: Record<string, string>;
}

/** What the server gave a phone that asked to be paired; `until` is ms since 1970. */
export interface PairingRequest {
  code: string;
  words: string;
  secret: string;
  until: number;
}

/** A request as it is kept, of the server's answer to it. */
export function pairingRequestOf(answer: {
  code: string;
  words: string;
  secret: string;
  seconds_left: number;
}): PairingRequest {
  const { code, words, secret, seconds_left } = answer;
  return { code, words, secret, until: Date.now() + seconds_left * 1000 };
}

/** An ad that another app shared into this one: the service worker keeps it until it has a car. */
export interface SharedAd {
  text: string;
  source: string;
  files: { type: string; bytes: ArrayBuffer }[];
}

/** This phone's own device. */
export interface Own extends DeviceKey {
  /**
   * Where it comes from: null while nobody has looked whether the server knows this phone as another
   * device; "new" for a phone of its own; else the device whose chain it goes on from.
   */
  origin: string | null;
}

/** What a person said that the desk has taken in of a file that this device handed over. */
export interface HandedOver {
  device: string;
  /** Up to which own entry. */
  seq: number;
  /** SHA-256 of photos and recordings. */
  photos: string[];
  /** ms since 1970. */
  at: number;
}

export interface FactsKept {
  own: Own;
  sync: SyncMark;
  preferences: Preferences;
  /** Where the person was: route and scroll, so that a restart returns there. */
  place: { route: string; scroll: number };
  /** The visit that is being shown to a seller, if any. */
  seller: string | null;
  /** Per visit, up to where of each device the person has looked at what others wrote. */
  looked: Record<string, Record<string, number>>;
  /** The request for pairing that this phone shows, if any. */
  pairing: PairingRequest | null;
  /** Made with the database: another one means that the browser has dropped the storage. */
  marker: string;
  /** Greatest stamp of any device that was seen here and believed. */
  seen: string;
  /** Up to which own seq the rows made from the log follow it. */
  settled: { device: string; seq: number };
  /** Devices of the server's own chains: orders count only from these. */
  shop: string[];
  orders: Orders;
  /** Changed whenever orders may have come that were not yet read; null when all are obeyed. */
  ordersDue: string | null;
  /** The device that was found to be gone, until the person has read it. */
  lost: string | null;
  /** Shared ads that wait for a car, the first one first. */
  shared: SharedAd[];
  /** What was handed over as a file. */
  handed: HandedOver;
  /** What the server told of its certificate authority, and what the person did about it. */
  authority: AuthorityKept;
}

export class Facts {
  constructor(private readonly store: Store) {}

  read<K extends keyof FactsKept>(key: K): Promise<FactsKept[K] | undefined> {
    return this.store.run(
      async (database) => (await database.get("meta", key)) as FactsKept[K] | undefined,
    );
  }

  async write<K extends keyof FactsKept>(key: K, value: FactsKept[K]): Promise<void> {
    await this.store.transact(["meta"], (tx) => quietly(tx.objectStore("meta").put(value, key)));
  }

  async sync(): Promise<SyncMark> {
    return (await this.read("sync")) ?? NOTHING_ANSWERED;
  }

  /** What time it is, as well as this phone knows: its own clock, corrected by the server's. */
  async bestKnown(wall_ms: number): Promise<number> {
    return wall_ms + (await this.sync()).skew;
  }
}
