/** What has been added since a visit was locked. */

import { inspection } from "../../shared/event";
import type { Visit } from "./visit";

/** A call of the judge should stay below 100 kB (judge/README.md). */
const EVENTS_A_CALL = 500;

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
