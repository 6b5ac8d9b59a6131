/** Where this reader looks at cars: it sets units, money, the order of dates, paper and law. */

import { signal } from "@preact/signals";
import type { Region } from "../../shared/contract";

export const REGIONS: Region[] = ["us", "eu"];
export const CURRENCY_OF: Record<Region, string> = { us: "USD", eu: "EUR" };

/** What every screen is written for; the preferences set it. */
export const region = signal<Region>("us");

/** The unit that this person chose for a kind of reading, by that kind; the preferences set it. */
export const chosenUnits = signal<Record<string, string>>({});

/** American states keep their clocks by these, and by nothing else in `America/`. */
const AMERICAN_ZONES =
  /^(US\/|Pacific\/Honolulu$|America\/(New_York|Chicago|Denver|Phoenix|Los_Angeles|Anchorage|Detroit|Boise|Juneau|Sitka|Nome|Adak|Yakutat|Metlakatla|Menominee|Indiana\/|Kentucky\/|North_Dakota\/))/;

/** The likeliest region of a browser: where its clock is, else its first language's country. */
export function likelyRegion(languages: readonly string[], zone: string): Region {
  if (AMERICAN_ZONES.test(zone)) return "us";
  if (zone.startsWith("Europe/")) return "eu";
  const [first = "en-US"] = languages;
  return /^en(-US)?$|-US$/i.test(first) ? "us" : "eu";
}
