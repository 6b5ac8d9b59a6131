/** Signing a visit, and what has been added since. */

import { inspection, type Put } from "../../shared/event";
import { message, Told } from "../../shared/said";
import { type Signing, seal } from "../../store/log/seals";
import { moment } from "../device/local-time";
import { catalogue, text } from "../text/catalogue";
import type { Visit } from "./visit";

/** A call of the judge should stay below 100 kB (judge/README.md). */
const EVENTS_A_CALL = 500;

/** Where the verdict stands that a signature covers (server/bradawl/inspection/signed_verdict.py). */
const VERDICT = "verdict/signed";

/** What a person writes and draws when signing. */
export interface Signed {
  name: string;
  place: string;
  strokes: number[][];
  box: [number, number];
}

/** Sign what stands now. Rejects where it could not be stored, or the judge does not run. */
export async function signVisit(visit: Visit, given: Signed): Promise<void> {
  const { log, bundles, judges } = visit.services;
  const { name, place, strokes, box } = given;
  await bundles.foldFromOthers(visit.id);
  // what is signed includes the verdict, so that nobody changes it silently by judging it anew
  const changes = [{ put: VERDICT, value: await visit.verdict() }];
  // where it was signed belongs to the record, from which it can be taken; a signature stays
  if (place !== visit.text("about/place")) changes.push({ put: "about/place", value: place });
  if (!(await visit.put(changes, null, false))) throw new Told(message("phone-alarm-write"));
  const inputs = { checklist: visit.bundle.hash, judge: await judges.forTaps.hash() };
  const declaration = { message: "seal-declaration", language: catalogue.locale } as const;
  const signing: Signing = { name, at: moment(), strokes, box, declaration, inputs };
  const puts: Put[] = await seal(log, visit.id, signing, (question) =>
    judges.forTaps.ask(question),
  );
  await visit.recorded(puts.length, text("phone-sign-done"));
}

/** How many entries the last seal does not cover: the judge counts, in calls of a size it bears. */
export async function countAmendments(visit: Visit): Promise<number> {
  const through = visit.seals().at(-1)?.value.through;
  if (through === undefined) return 0;
  const { log, judges } = visit.services;
  const scope = inspection(visit.id);
  const events = await log.chains.beyond(scope, through as Record<string, number>);
  let count = 0;
  for (let from = 0; from < events.length; from += EVENTS_A_CALL) {
    const piece = events.slice(from, from + EVENTS_A_CALL);
    count += (await judges.forVisit.ask({ ask: "amendments", events: piece, through })).count;
  }
  return count;
}
