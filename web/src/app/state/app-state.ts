/** What the whole app looks at. */

import { signal } from "@preact/signals";
import { NOTHING_KNOWN, type SyncState } from "../../store/exchange/sync";
import type { Preferences } from "../../store/facts";
import { facts } from "./storage";

/** A full-width alarm: something could not be stored. `again` repeats exactly that. */
export interface Alarm {
  text: string;
  again: (() => void) | null;
}

/** The last thing recorded, as the bar at the foot tells it. */
export interface Notice {
  text: string;
  undo: (() => Promise<void>) | null;
}

/** What went with the storage: unsent entries and photos, and how many of these are still here. */
export interface Vanished {
  entries: number;
  photos: number;
  here: number;
}

/** Set while the storage that this page began with is gone, and nobody has said to go on. */
export const vanished = signal<Vanished | null>(null);
export const syncState = signal<SyncState>(NOTHING_KNOWN);
export const alarm = signal<Alarm | null>(null);
export const notice = signal<Notice | null>(null);
export const updateReady = signal(false);
export const preferences = signal<Preferences>({
  theme: "auto",
  hand: "right",
  currency: "EUR",
  inspector: "",
  photoPlace: false,
  units: {},
});

export async function setPreferences(change: Partial<Preferences>): Promise<void> {
  preferences.value = { ...preferences.value, ...change };
  await facts.write("preferences", preferences.value);
}
