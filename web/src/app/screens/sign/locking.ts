/** Locking a visit: what stands is sealed by the phone's own key, and so is what stands open. */

import type { Put } from "../../../shared/event";
import { message, Told } from "../../../shared/said";
import { type Signing, seal } from "../../../store/log/seals";
import { moment } from "../../device/local-time";
import { catalogue, text } from "../../text/catalogue";
import { unsorted } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";
import { areasOf } from "../../visit/walk-order";

/** Where the verdict stands that a signature covers (server/bradawl/inspection/signed_verdict.py). */
const VERDICT = "verdict/signed";

/** What was open as somebody locked: the lock says so, and a later answer changes nothing of it. */
export type OpenAtLock = {
  /** Checks without an answer. */
  unchecked: number;
  /** Checks and facts with two answers that differ. */
  disputed: number;
  /** Photos, notes and recordings that belong to no check yet. */
  unsorted: number;
};

/** What a person gives when locking; no stroke where nobody drew a signature. */
export interface Locked {
  name: string;
  place: string;
  strokes: number[][];
  box: [number, number];
  open: OpenAtLock;
}

export function openAtLock(visit: Visit): OpenAtLock {
  const disputed = new Set(
    Object.entries(visit.cells.value)
      .filter(([, { others }]) => others.length > 0)
      .map(([put]) => (put.startsWith("items/") ? put.split("/")[1] : put)),
  );
  return {
    unchecked: areasOf(visit).reduce((sum, { open }) => sum + open.length, 0),
    disputed: disputed.size,
    unsorted: unsorted(visit).length,
  };
}

/** Seal what stands now. Rejects where it could not be stored, or the judge does not run. */
export async function lockVisit(visit: Visit, given: Locked): Promise<void> {
  const { log, bundles, judges } = visit.services;
  const { name, place, strokes, box, open } = given;
  await bundles.foldFromOthers(visit.id);
  // what is signed includes the verdict, so that nobody changes it silently by judging it anew
  const changes = [{ put: VERDICT, value: await visit.verdict() }];
  // where it was locked belongs to the record, from which it can be taken; a seal stays
  if (place !== visit.text("about/place")) changes.push({ put: "about/place", value: place });
  if (!(await visit.put(changes, null, false))) throw new Told(message("phone-alarm-write"));
  const inputs = { checklist: visit.bundle.hash, judge: await judges.forTaps.hash() };
  const declaration = { message: "seal-declaration", language: catalogue.locale } as const;
  const signing: Signing = { name, at: moment(), strokes, box, open, declaration, inputs };
  const puts: Put[] = await seal(log, visit.id, signing, (question) =>
    judges.forTaps.ask(question),
  );
  await visit.recorded(puts.length, text("phone-lock-done"));
}
