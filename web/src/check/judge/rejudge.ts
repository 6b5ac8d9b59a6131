/**
 * The attached record judged again: by the judge and the checklist that lie in the page, on the
 * day of the report, and held against what the report claims.
 */

import type { Cells, JudgedEvent } from "../../shared/event";
import { sha256OfText } from "../../store/encoding";
import { shownOf } from "../../store/log/values";
import { type AttachedRecord, commitment } from "../report/record";
import type { Judge } from "./judge";
import { isSameValue, type Judged, type Statement, statementsOf } from "./statements";

const EVENTS_A_CALL = 200;

/**
 * `differs`: it does not follow from the record. `withheld`: it differs, and entries are withheld
 * from which it may follow. `judge`: it differs, and another version of the judge said it.
 */
export type Standing = "same" | "differs" | "withheld" | "judge";

export interface Rejudged {
  statement: Statement;
  /** What the report claims; undefined where it claims nothing of the kind. */
  claimed: Statement | undefined;
  standing: Standing;
}

export interface Request {
  record: AttachedRecord;
  /** The day for which the report was made, YYYY-MM-DD. */
  today: string;
  /** The checklist that the record began with, loaded; whether the judge in the page made the report. */
  bundle: string;
  isSameJudge: boolean;
}

/** Rejects where the judge does not run. */
export async function rejudged(judge: Judge, request: Request): Promise<Rejudged[]> {
  const { record, today, bundle, isSameJudge } = request;
  const cells = await folded(judge, await eventsOf(record));
  const { assessment } = await judge.ask({
    ask: "assess",
    bundle,
    visit: record.visit,
    cells,
    today,
  });
  const claims = statementsOf(record.assessment as unknown as Judged);
  return claims.map((claimed) => {
    const statement = statementsOf(assessment).find(
      ({ kind, of }) => kind === claimed.kind && of === claimed.of,
    ) ?? { ...claimed, value: null };
    const isSame = isSameValue(statement.value, claimed.value);
    const otherwise = !isSameJudge ? "judge" : restsOn(record, claimed) ? "withheld" : "differs";
    return { statement, claimed, standing: isSame ? "same" : otherwise };
  });
}

/**
 * Whether a statement may rest on what a record leaves out: a note or a name changes none. When a
 * car was bought stands in no sealed entry, and what was found since does not change its price.
 */
function restsOn({ withheld, set_aside, bought }: AttachedRecord, { kind }: Statement): boolean {
  const kinds = new Set(withheld.map(([one]) => one));
  const isOfMoney = kind === "buy" || kind === "price";
  const isOfThen = kinds.has("money") || (bought !== undefined && bought !== "");
  return set_aside.length > 0 || kinds.has("plan") || (isOfMoney && isOfThen);
}

/** What is shown under the seal, and after it what was amended, as events of the log. */
async function eventsOf(record: AttachedRecord): Promise<JudgedEvent[]> {
  const events: JudgedEvent[] = [];
  const scope = `inspection/${record.visit}`;
  for (const [put, at, salt, text] of record.shown) {
    // what a report claims is as the car was found and bought: no work since changes it
    if (put.startsWith("work/")) continue;
    const commit = await commitment(salt, text);
    const device = at.split("-").at(-1) ?? "";
    events.push({ put, at, commit, device, scope, seq: 0, over: [], value: shownOf(text) });
  }
  for (const { put, at, device, value } of record.amendments) {
    // an amendment says what holds from then on: it stands for all that was there before
    const over = events
      .filter((event) => event.put === put)
      .map((one) => `${one.at}~${one.commit}`);
    const commit = await sha256OfText(`${at} ${put}`);
    events.push({ put, at, commit, device, scope, seq: 0, over: over.sort(), value });
  }
  return events;
}

/** Events folded in pieces that a call bears; those of one path stay together. */
async function folded(judge: Judge, events: JudgedEvent[]): Promise<Cells> {
  const byPath = new Map<string, JudgedEvent[]>();
  for (const event of events) byPath.set(event.put, [...(byPath.get(event.put) ?? []), event]);
  let cells: Cells = {};
  let piece: JudgedEvent[] = [];
  const paths = [...byPath.values()];
  for (const [i, there] of paths.entries()) {
    piece.push(...there);
    if (piece.length < EVENTS_A_CALL && i < paths.length - 1) continue;
    cells = { ...cells, ...(await judge.ask({ ask: "fold", events: piece })).cells };
    piece = [];
  }
  return cells;
}
