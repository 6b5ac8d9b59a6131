/** The car's number where the record has it, and what the judge says of one that was just read. */

import type { Item, ItemJudgment, Reading, Said } from "../../../shared/contract";
import { today } from "../../device/local-time";
import type { Change, Visit } from "../visit";
import type { VisitView } from "../visit-view";

export const VIN_PUT = "car/vin";
const YEAR_PUT = "car/year";

/** The check that holds the car's numbers against one another, with its reading; null without one. */
export function vinCheck(visit: VisitView): { item: Item; reading: Reading } | null {
  const item = visit.bundle.items.find(
    ({ id }) => visit.bundle.rules.items[id]?.compute?.kind === "vin",
  );
  const reading = item?.readings.find(({ quantity }) => quantity === "code");
  return item === undefined || reading === undefined ? null : { item, reading };
}

/** Where a number stands in the record; null for the car's own details. */
export interface Recorded {
  place: string | null;
  number: string;
}

export function vinPut(visit: VisitView, place: string | null): string {
  const check = vinCheck(visit);
  if (check === null || place === null) return VIN_PUT;
  return `items/${check.item.id}/readings/${check.reading.id}/${place}`;
}

export function vinPlaces(visit: VisitView): string[] {
  return vinCheck(visit)?.reading.at ?? [];
}

function numberAt(visit: VisitView, put: string): string {
  const value = visit.value(put);
  if (typeof value === "string") return value;
  return String((value as { typed?: string } | null)?.typed ?? "");
}

/** Every number that is recorded, as it was typed. */
export function recordedVins(visit: VisitView): Recorded[] {
  return [null, ...vinPlaces(visit)]
    .map((place) => ({ place, number: numberAt(visit, vinPut(visit, place)) }))
    .filter(({ number }) => number.trim() !== "");
}

/** A number as the judge compares it: it has no blanks, dots, dashes or small letters. */
export function plainVin(number: string): string {
  return number.toUpperCase().replaceAll(/[\s\-/.,*]/g, "");
}

/** What is recorded and is another number than this one. */
export function otherVins(visit: VisitView, vin: string): Recorded[] {
  return recordedVins(visit).filter(({ number }) => plainVin(number) !== plainVin(vin));
}

/** What the judge says of this number alone, on this car; null where it cannot. */
export async function checkVin(visit: Visit, vin: string): Promise<ItemJudgment | null> {
  const check = vinCheck(visit);
  const [place] = vinPlaces(visit);
  if (check === null || place === undefined) return null;
  const facts = Object.entries(visit.besideItems()).filter(
    ([put]) => /^(car|brief|about)\//.test(put) && put !== VIN_PUT,
  );
  const value = { typed: vin, unit: "" };
  const question = {
    bundle: visit.bundle.hash,
    item: check.item.id,
    cells: { [vinPut(visit, place)]: { value, at: "", others: [] } },
    car: Object.fromEntries(facts),
  };
  const { forTaps } = visit.services.judges;
  try {
    await forTaps.withRules(visit.bundle);
    return (await forTaps.ask({ ask: "item", ...question, today: today() })).item;
  } catch {
    // the judge's own trouble is told where it belongs; the number is recorded all the same
    return null;
  }
}

/** Of the facts about a number those that are always said, and those that are when they accuse it. */
const TOLD: [fact: string, accused: string | null][] = [
  ["vin_same", "no"],
  ["vin", null],
  ["year_agrees", "no"],
  ["year_code", "invalid"],
  ["serial", "not-digits"],
];

/** What the judge says of the number, as sentences to be said. */
export function vinSentences(judged: ItemJudgment | null | undefined): Said[] {
  return TOLD.flatMap(([name, accused]) => {
    const fact = judged?.facts[name];
    return fact !== undefined && (accused === null || fact.value === accused) ? [fact.said] : [];
  });
}

/** The years that the tenth character can mean; none where it means none, or the law binds nobody. */
export function yearsOf(judged: ItemJudgment | null): number[] {
  const more = judged?.facts.year_code?.said.then?.find(({ id }) => id === "judge-more-year-code");
  const years = more?.args?.years as { list?: unknown[] } | undefined;
  return (years?.list ?? []).map(Number).filter(Number.isInteger);
}

/** What is recorded of a number read at a place: there, and with the car where it has none. */
export function vinChanges(visit: VisitView, vin: string, place: string | null): Change[] {
  const changes: Change[] = [];
  if (place !== null) changes.push({ put: vinPut(visit, place), value: { typed: vin, unit: "" } });
  if (numberAt(visit, VIN_PUT).trim() === "") changes.push({ put: VIN_PUT, value: vin });
  return changes;
}

export function yearChange(year: number): Change {
  return { put: YEAR_PUT, value: year };
}

export function hasYear(visit: VisitView): boolean {
  return visit.value(YEAR_PUT) !== null;
}
