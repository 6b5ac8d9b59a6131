/**
 * Ads and claims in a record: `ads/<id>` is an ad as it was, its prices and photos stand below it;
 * `claims/<id>/…` is a claim, of the checklist or in words alone. Nothing of an ad is overwritten.
 */

import type { Assessment, ClaimJudgment } from "../../../shared/contract";
import type { Cells, Json } from "../../../shared/event";
import { newId } from "../../../store/encoding";
import { today } from "../../device/local-time";
import type { Change } from "../visit";

export const TELLERS = ["ad", "seller", "owner", "shop", "other"] as const;
export type Teller = (typeof TELLERS)[number];
export const STANDINGS = ["claimed", "seen", "proven", "false"] as const;
export type Standing = (typeof STANDINGS)[number];

const ID_LETTERS = 12;

export interface Price {
  id: string;
  amount: number;
  date: string;
}

export interface Ad {
  id: string;
  text: string;
  source: string;
  date: string;
  /** The latest last; of one day in the order in which they were noted. */
  prices: Price[];
  photos: string[];
}

export interface Claim {
  id: string;
  kind: string;
  words: string;
  who: Teller;
  name: string;
  date: string;
  standing: Standing;
  photos: string[];
}

function shortId(): string {
  return newId().slice(0, ID_LETTERS);
}

function field(value: Json | undefined, key: string): string {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return "";
  const found = value[key];
  return typeof found === "string" ? found : "";
}

/** What stands below `area/<id>/`, by id and the rest of the path; what was taken back is not there. */
function below(cells: Cells, area: string): Map<string, Map<string, { value: Json; at: string }>> {
  const found = new Map<string, Map<string, { value: Json; at: string }>>();
  for (const [put, { value, at }] of Object.entries(cells)) {
    const [head, id, ...rest] = put.split("/");
    if (head !== area || id === undefined || value === null) continue;
    found.set(id, (found.get(id) ?? new Map()).set(rest.join("/"), { value, at }));
  }
  return found;
}

function photosIn(paths: Iterable<string>): string[] {
  return [...paths].flatMap((path) => (path.startsWith("photos/") ? [path.slice(7)] : [])).sort();
}

/** The ads of a visit, the oldest first. */
export function adsOf(cells: Cells): Ad[] {
  const ads = [...below(cells, "ads")].flatMap(([id, paths]) => {
    const own = paths.get("");
    if (own === undefined) return [];
    const prices = [...paths].flatMap(([path, { value, at }]) => {
      const amount = (value as { amount?: Json }).amount;
      return path.startsWith("prices/") && typeof amount === "number"
        ? [{ id: path.slice(7), amount, date: field(value, "date"), at }]
        : [];
    });
    prices.sort((a, b) => (`${a.date} ${a.at}` < `${b.date} ${b.at}` ? -1 : 1));
    const [text, source, date] = ["text", "source", "date"].map((key) => field(own.value, key));
    return [
      { id, text, source, date, prices, photos: photosIn(paths.keys()), at: own.at } as const,
    ];
  });
  ads.sort((a, b) => (`${a.date} ${a.at}` < `${b.date} ${b.at}` ? -1 : 1));
  return ads.map(({ at: _, ...ad }) => ad as Ad);
}

/** The claims of a visit as they were recorded; what became of each is the judge's to say. */
export function claimsOf(cells: Cells): Claim[] {
  return [...below(cells, "claims")]
    .flatMap(([id, paths]) => {
      const text = (key: string) => {
        const value = paths.get(key)?.value;
        return typeof value === "string" ? value : "";
      };
      const role = field(paths.get("who")?.value, "role");
      const state = field(paths.get("state")?.value, "state");
      const claim: Claim = {
        id,
        kind: text("kind"),
        words: text("words"),
        who: TELLERS.find((one) => one === role) ?? "other",
        name: field(paths.get("who")?.value, "name"),
        date: text("date"),
        standing: STANDINGS.find((one) => one === state) ?? "claimed",
        photos: photosIn(paths.keys()),
      };
      return claim.kind === "" && claim.words === "" ? [] : [claim];
    })
    .sort((a, b) => (`${a.date} ${a.id}` < `${b.date} ${b.id}` ? -1 : 1));
}

/** What keeps an ad as it is, with its first price where one is known. */
export function keepAd(
  ad: Pick<Ad, "text" | "source" | "date">,
  amount: number | null,
): {
  id: string;
  changes: Change[];
} {
  const id = shortId();
  const changes: Change[] = [{ put: `ads/${id}`, value: { ...ad } }];
  if (amount !== null) changes.push(...notePrice(id, amount, ad.date));
  return { id, changes };
}

/** A price beside those before it; it is what is asked from now on. */
export function notePrice(ad: string, amount: number, date: string): Change[] {
  return [
    { put: `ads/${ad}/prices/${shortId()}`, value: { amount, date } },
    { put: "about/asking_price", value: amount },
  ];
}

export function noteClaim(
  claim: { kind: string; words: string; who: Teller; name?: string },
  date: string = today(),
): Change[] {
  const start = `claims/${shortId()}`;
  const { kind, words, who, name = "" } = claim;
  return [
    ...(kind === "" ? [] : [{ put: `${start}/kind`, value: kind }]),
    ...(words === "" ? [] : [{ put: `${start}/words`, value: words }]),
    { put: `${start}/who`, value: whoValue(who, name) },
    { put: `${start}/date`, value: date },
  ];
}

export function whoValue(role: Teller, name: string): Json {
  return name === "" ? { role } : { role, name };
}

/** What takes a claim back with all that stands below it. */
export function dropClaim(cells: Cells, id: string): Change[] {
  return [...(below(cells, "claims").get(id) ?? new Map()).keys()].map((path) => ({
    put: `claims/${id}/${path}`,
    value: null,
  }));
}

/** What the judge says of each claim, by id. */
export function judgedClaims(assessment: Assessment | null): Map<string, ClaimJudgment> {
  return new Map((assessment?.claims ?? []).map((row) => [row.id, row]));
}

/** The first amount of money that a text names: "asking $3,500 obo" is 3500. */
export function priceIn(text: string): string {
  return /\$\s?\d[\d,]*/.exec(text)?.[0] ?? "";
}
