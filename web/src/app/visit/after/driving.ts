/**
 * The drive home in a record. `drive/<stop>/<sign>` or `drive/<stop>/<sign>/<place>` is what was seen at
 * a stop, 0 being before it rolls; `parked` and `odometer` beside them, and `drive/home/…` the end of it.
 * What is bad is recorded with its finding, which the judge knows as any other one.
 */

import type { DriveLeg, DriveReply, DriveSign, Driving } from "../../../shared/contract";
import type { Json } from "../../../shared/event";
import { moment } from "../../device/local-time";
import { text } from "../../text/catalogue";
import { placeName, withUnit } from "../../text/names";
import { region } from "../../text/region";
import type { Change } from "../visit";
import type { VisitView } from "../visit-view";

export type Reply = DriveReply["id"];
export const START = 0;
export const HOME = "home";
/** The job that mends a finding in somebody's own words (judge/record/own_findings.py). */
const MEND = "mend";

/** One question at a stop. */
export interface Row {
  stop: number;
  sign: DriveSign;
  /** "" for a sign that has but one place. */
  place: string;
}

/** What is asked at a stop. */
export function rowsAt({ signs }: Driving, stop: number): Row[] {
  const isAsked = ({ when }: DriveSign) =>
    stop === START
      ? when.includes("start")
      : when.includes("stop") || (stop === 1 && when.includes("first"));
  return signs
    .filter(isAsked)
    .flatMap((sign) =>
      (sign.places.length > 0 ? sign.places : [""]).map((place) => ({ stop, sign, place })),
    );
}

/** The stops by the unit of this car's odometer, else by the region's. */
export function legOf(visit: VisitView, { legs }: Driving): DriveLeg {
  const odometer = visit.value("car/odometer");
  const unit =
    typeof odometer === "object" && odometer !== null && !Array.isArray(odometer)
      ? odometer.unit
      : undefined;
  const usual = region.value === "us" ? "mi" : "km";
  const found = legs.find((leg) => leg.unit === unit) ?? legs.find((leg) => leg.unit === usual);
  return found ?? (legs[0] as DriveLeg);
}

/** After how far the stop is, in whole units: 5, 20, 50, 100 … */
export function distanceAt({ first, every }: DriveLeg, stop: number): number {
  const named = first[stop - 1];
  return named === undefined ? Number(every) * (stop - first.length) : Number(named);
}

/** "Before rolling", "After 5 mi", "Home". */
export function stopTitle(leg: DriveLeg, stop: number | typeof HOME): string {
  if (stop === HOME) return text("driving-home");
  if (stop === START) return text("driving-start");
  return text("driving-after", { distance: distanceText(leg, stop) });
}

function distanceText(leg: DriveLeg, stop: number): string {
  return withUnit(String(distanceAt(leg, stop)), leg.unit);
}

export function rowTitle({ sign, place }: Row): string {
  if (place === "") return sign.title;
  return text("driving-at", { sign: sign.title, place: placeName(place) });
}

function putOf({ stop, sign, place }: Row): string {
  return `drive/${stop}/${sign.id}${place === "" ? "" : `/${place}`}`;
}

/** The finding that a bad answer is. */
export function findingOf({ stop, sign, place }: Row): string {
  return `${sign.area}.own-drive-${stop}-${sign.id}${place === "" ? "" : `-${place}`}`;
}

function replyIn(value: Json): Reply | null {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return null;
  const { answer } = value;
  return answer === "fine" || answer === "bad" || answer === "none" ? answer : null;
}

/** What was answered; of what two people said unseen of one another the bad one. */
export function replyOf(visit: VisitView, row: Row): Reply | null {
  const cell = visit.besideItems()[putOf(row)];
  if (cell === undefined) return null;
  const said = [cell.value, ...cell.others.map(({ value }) => value)].map(replyIn);
  return said.includes("bad") ? "bad" : (said[0] ?? null);
}

/** How a row stands: a bad one that was put right, with proof, is `mended`. */
export function stateOf(visit: VisitView, row: Row): Reply | "mended" | null {
  const reply = replyOf(visit, row);
  return reply === "bad" && visit.mended.value.has(findingOf(row)) ? "mended" : reply;
}

/** A bad answer with its finding; any other one takes the finding back, which was a slip then. */
export function replyChanges(visit: VisitView, row: Row, answer: Reply, leg: DriveLeg): Change[] {
  const changes: Change[] = [{ put: putOf(row), value: { answer } }];
  const start = `items/${findingOf(row)}`;
  if (answer === "bad") {
    const bad = row.sign.choices.find(({ id }) => id === answer)?.title ?? answer;
    const said = { sign: rowTitle(row), answer: bad };
    const words =
      row.stop === START
        ? text("driving-finding-start", said)
        : text("driving-finding-after", { ...said, distance: distanceText(leg, row.stop) });
    changes.push({ put: `${start}/text`, value: words });
    changes.push({ put: `${start}/grade`, value: { grade: row.sign.grade } });
  } else if (visit.value(`${start}/grade`) !== null) {
    changes.push({ put: `${start}/text`, value: null }, { put: `${start}/grade`, value: null });
  }
  return changes;
}

/** Below which path the photos stand that show that it was put right. */
export function proofPath(row: Row): string {
  return `work/${findingOf(row)}/${MEND}/photos`;
}

/** That a finding was put right; without a photo below its job the judge does not believe it. */
export function mendChanges(row: Row): Change[] {
  const item = findingOf(row);
  return [{ put: `work/${item}/${MEND}/after/${item}/grade`, value: { grade: "none" } }];
}

/** That one stands there, engine off: when. */
export function parkedChanges(stop: number | typeof HOME): Change[] {
  return [{ put: `drive/${stop}/parked`, value: { ...moment() } }];
}

/** Whether one was there. */
export function wasAt(visit: VisitView, stop: number | typeof HOME): boolean {
  return visit.value(`drive/${stop}/parked`) !== null;
}

/** The stop that is next: the first that is not answered whole, or has something bad. */
export function nextStop(visit: VisitView, driving: Driving): number {
  for (let stop = START; ; stop += 1) {
    const states = rowsAt(driving, stop).map((row) => stateOf(visit, row));
    // a table that asks nothing at a stop has no stop after it
    if (states.length === 0) return stop;
    if (states.some((state) => state === null || state === "bad")) return stop;
  }
}

/** What was bad at any stop and still is, the latest stop first. */
export function badRows(visit: VisitView, driving: Driving): Row[] {
  const last = nextStop(visit, driving);
  const stops = new Set<number>([last]);
  for (const put of Object.keys(visit.besideItems())) {
    const [, stop = ""] = /^drive\/(\d+)\//.exec(put) ?? [];
    if (stop !== "") stops.add(Number(stop));
  }
  return [...stops]
    .sort((a, b) => b - a)
    .flatMap((stop) => rowsAt(driving, stop))
    .filter((row) => stateOf(visit, row) === "bad");
}

/** What a figure of the car says, each place for itself; "" where nobody knows it. */
export function figureOf(visit: VisitView, fact: string): string {
  const facts = (visit.bundle.profile ?? []).flatMap((group) => group.facts);
  const [item = "", reading = ""] = (facts.find(({ id }) => id === fact)?.fills?.[0] ?? "").split(
    "/",
  );
  const typed = Object.entries({
    ...(item === "" ? {} : visit.cellsOf(item)),
    ...visit.besideItems(),
  }).flatMap(([put, { value }]) => {
    const own = put.startsWith(`items/${item}/readings/${reading}/`);
    if (!own && put !== `car/${fact}` && !put.startsWith(`car/${fact}_`)) return [];
    const shown = shownFigure(value);
    const place = own ? (put.split("/").at(-1) ?? "") : put.slice(`car/${fact}_`.length);
    if (shown === "") return [];
    return [
      place === "" ? shown : text("driving-figure-at", { place: placeName(place), figure: shown }),
    ];
  });
  return [...new Set(typed)].sort().join(", ");
}

function shownFigure(value: Json): string {
  if (typeof value === "string") return value === "unknown" ? "" : value;
  if (typeof value !== "object" || value === null || Array.isArray(value)) return "";
  const { typed, unit } = value;
  return typeof typed === "string" && typeof unit === "string" ? withUnit(typed, unit) : "";
}
