/**
 * The reasons to pay less in the judge's groups, each with its place on the car. The desk and the
 * report do the same (server/bradawl/inspection/paying_less.py).
 */

import type { Assessment, Grade, ReasonGroup, Said } from "../../shared/contract";
import type { Json } from "../../shared/event";
import { placeName } from "../text/names";
import { argument } from "../text/say";
import { namedIn } from "./body/car-places";
import { photosOf } from "./items/item-record";
import type { VisitView } from "./visit-view";

export interface PriceReason {
  id: string;
  /** The job. */
  title: string;
  amount: number;
  /** What was found; "" where the judge gives none. */
  why: string;
  /** "front left, rear left"; "" where nothing says where. */
  where: string;
  /** The findings that the job puts right, and their photos. */
  covers: string[];
  photos: string[];
  grade: Grade | null;
}

export interface PriceGroup {
  group: ReasonGroup;
  amount: number;
  count: number;
  reasons: PriceReason[];
}

/** These are shown with nothing in them too: a clean half of a car is worth a line. */
const ALWAYS: ReasonGroup[] = ["safety", "structure", "wear", "service"];
const ORDER: (Grade | null)[] = ["dangerous", "major", "minor"];
/** More places than this are told by the check's own words. */
const FEW = 4;

/** Where a finding is: as it was measured or photographed, else where its check looks. */
export function whereOf(visit: VisitView, item: string): string {
  const reasons = visit.judged(item)?.reasons ?? [];
  const named = namedIn(reasons as unknown as Json);
  const pictured = photosOf(visit, item).flatMap((sha256) => {
    const { place } = (visit.value(`items/${item}/photos/${sha256}`) ?? {}) as { place?: Json };
    return typeof place === "string" ? [place] : [];
  });
  const places = [...new Set(named.length > 0 ? named : pictured)];
  if (places.length > 0 && places.length <= FEW) return places.map(placeName).join(", ");
  const check = visit.item(item);
  // what is looked at on paper is nowhere on the car
  return check === undefined || check.on_car?.length === 0 ? "" : check.where;
}

/** Places as one text, each once, without what the reason names already. */
function together(places: string[], why: string): string {
  const told = [...new Set(places)].filter(
    (place, _, all) =>
      place !== "" &&
      !why.toLowerCase().includes(place.toLowerCase()) &&
      !all.some((other) => other !== place && other.includes(place)),
  );
  return told.join("; ");
}

function whyOf(said: Said, visit: VisitView): string {
  const why = said.args?.why;
  return why === undefined ? "" : String(argument(why, visit.bundle.rules));
}

/** The groups, those four that there always are first; none while an older judge's answer stands. */
export function payingLess(visit: VisitView, { money, items }: Assessment): PriceGroup[] {
  const { groups, arguments: all } = money.price;
  if (groups === undefined || all.length === 0) return [];
  const kinds = [...ALWAYS, ...groups.map(({ group }) => group)];
  return [...new Set(kinds)].map((name) => ({
    amount: 0,
    count: 0,
    ...groups.find(({ group }) => group === name),
    group: name,
    reasons: all
      .filter(({ group }) => group === name)
      .map(({ id = "", item, said, amount, covers = [] }) => {
        const grades = covers.map((one) => items[one]?.grade ?? null);
        const why = whyOf(said, visit);
        const about = covers.length > 0 ? covers : item === "" ? [] : [item];
        const where = together(
          about.map((one) => whereOf(visit, one)),
          why,
        );
        return {
          ...{ id, amount, why, where },
          title: String(argument(said.args?.title ?? "", visit.bundle.rules)),
          covers: about,
          photos: about.flatMap((one) => photosOf(visit, one)),
          grade: ORDER.find((grade) => grades.includes(grade)) ?? null,
        };
      }),
  }));
}
