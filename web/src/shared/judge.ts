/** Questions to the judge's worker and its answers. See server/bradawl/judgement/door.py. */

import type { Assessment, ItemJudgement, NextThings } from "./assessment";
import type { Cells, Json, LogEvent } from "./event";

export type Question =
  | { ask: "load"; bundle: string; rules: Json; start?: boolean }
  | { ask: "fold"; events: LogEvent[] }
  | { ask: "item"; bundle: string; item: string; cells: Cells; car: Cells; today: string }
  | { ask: "assess"; bundle: string; visit: string; cells: Cells; today: string }
  | { ask: "next"; bundle: string; states: Record<string, string>; uses: string[]; minutes: string }
  | { ask: "seal"; visit: string; cells: Cells }
  | {
      ask: "amendments";
      events: Pick<LogEvent, "device" | "seq" | "put">[];
      through: Json;
    };

export interface Answers {
  load: { items: number };
  fold: { cells: Cells };
  item: { item: ItemJudgement };
  assess: { assessment: Assessment };
  next: { next: NextThings };
  seal: { record: string; photos: string; count: number };
  amendments: { count: number };
}

/** Page to worker. The first message names the judge's files; each later one asks. */
export type ToWorker = { start: string } | { id: number; text: string };

/** Worker to page. */
export type FromWorker = { ready: true } | { broken: string } | { id: number; text: string };
