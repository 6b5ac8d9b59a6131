/** What the whole app looks at, as signals; and what the person prefers. */

import { batch, signal } from "@preact/signals";
import type { Region } from "../../shared/contract";
import { message, type Said } from "../../shared/said";
import { NOTHING_KNOWN, type SyncState } from "../../store/exchange/sync";
import type { Facts, Preferences } from "../../store/facts";
import { chosenUnits, region } from "../text/region";

/** A full-width alarm: something could not be stored. `again` repeats exactly that. */
export interface Alarm {
  said: Said;
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

export const USUAL_PREFERENCES: Preferences = {
  region: "",
  locale: "",
  theme: "auto",
  hand: "right",
  currency: "",
  inspector: "",
  photoPlace: false,
  units: {},
};

export class AppState {
  /** Set while the storage that this page began with is gone, and nobody has said to go on. */
  readonly vanished = signal<Vanished | null>(null);
  readonly syncState = signal<SyncState>(NOTHING_KNOWN);
  readonly alarm = signal<Alarm | null>(null);
  readonly notice = signal<Notice | null>(null);
  readonly updateReady = signal(false);
  readonly preferences = signal<Preferences>(USUAL_PREFERENCES);

  constructor(private readonly facts: Facts) {}

  async readPreferences(): Promise<void> {
    const stored = await this.facts.read("preferences");
    this.take({ ...this.preferences.value, ...stored });
  }

  async setPreferences(change: Partial<Preferences>): Promise<void> {
    this.take({ ...this.preferences.value, ...change });
    await this.facts.write("preferences", this.preferences.value);
  }

  /**
   * Another region brings its own units and money along. The answer to the first question is kept
   * before the screen goes on: an app that is closed right after it does not ask again.
   */
  async setRegion(chosen: Region): Promise<void> {
    const now = this.preferences.value;
    if (chosen === now.region) return;
    const next = { ...now, region: chosen, currency: "", units: {} };
    try {
      await this.facts.write("preferences", next);
    } finally {
      this.take(next);
    }
  }

  private take(preferences: Preferences): void {
    batch(() => {
      this.preferences.value = preferences;
      if (preferences.region !== "") region.value = preferences.region;
      chosenUnits.value = preferences.units;
    });
  }
}

/** What an alarm says of a write that failed. */
export function writeFailure(problem: unknown): Said {
  const isFull = problem instanceof DOMException && problem.name === "QuotaExceededError";
  return message(isFull ? "phone-alarm-quota" : "phone-alarm-write");
}
