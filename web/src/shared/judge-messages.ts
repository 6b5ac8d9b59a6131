/** Questions to the judge's worker and its answers. See server/bradawl/judge/json_api.py. */

import type {
  Again,
  Argument,
  Assessment,
  Closing,
  ClosingRule,
  Complaint,
  DriveAnswer,
  DrivePlan,
  Driving,
  Grade,
  HaulFigures,
  HaulPlan,
  ItemJudgment,
  Leaving,
  LoadLine,
  LoadRule,
  NextChecks,
  Rules,
  ShopModel,
  SpottedClaim,
  Symptom,
  WantJudgment,
} from "./contract";
import type { Cells, Json, JudgedEvent, Live, LogEvent, Orders } from "./event";
import type { Said } from "./said";

/** What of an event decides whether it stands. */
export type Leaf = Pick<LogEvent, "at" | "commit" | "put" | "over">;

/** Grades by item, of items with an answer. */
export type Graded = Record<string, string>;

export type Question =
  | { ask: "load"; bundle: string; rules: Partial<Rules>; start?: boolean }
  | { ask: "fold"; events: JudgedEvent[]; orders?: Orders }
  | { ask: "orders"; events: JudgedEvent[]; shop: string[] }
  | { ask: "leaves"; events: Leaf[] }
  | { ask: "unsigned"; seal: Json }
  | {
      ask: "item";
      bundle: string;
      item: string;
      cells: Cells;
      car: Cells;
      today: string;
      /** Without the facts that are readings as they were typed: a card has them in its fields. */
      shown?: "worked";
    }
  | { ask: "assess"; bundle: string; visit: string; cells: Cells; today: string }
  | {
      ask: "next";
      bundle: string;
      states: Record<string, string>;
      car: Cells;
      today: string;
      minutes: string;
      drive: DriveAnswer;
      enough: NonNullable<NextChecks["enough"]> | null;
      wants: WantJudgment[];
    }
  | { ask: "models"; events: JudgedEvent[]; car: Cells; today: string }
  | { ask: "seal"; cells: Cells }
  // once what leads from symptom to cause was loaded (server/bradawl/judge/trouble/door.py)
  | { ask: "complaint_load"; bundle: string; symptom: Symptom }
  | { ask: "spotted"; bundle: string; text: string }
  | {
      ask: "drive_plan";
      driving: Driving;
      items: Record<string, Pick<ItemJudgment, "asked" | "state" | "grade">>;
      /** Grades that work has changed. */
      now: Record<string, Grade | null>;
    }
  | {
      ask: "leaving";
      cells: Cells;
      arguments: Argument[];
      top: number | null;
      opening: number | null;
    }
  | { ask: "closing"; closing: ClosingRule[]; cells: Cells; today: string }
  | { ask: "same_car"; vin: string; visits: { visit: string; vin: string }[] }
  | { ask: "again"; earlier: Cells; now: Cells; graded_earlier: Graded; graded_now: Graded }
  | {
      ask: "load_list";
      bundle: string;
      cells: Cells;
      /** By check that is asked: whether it is still open. */
      states: Record<string, string>;
      rows: LoadRule[];
    }
  | { ask: "haul"; cells: Cells; figures: HaulFigures }
  | { ask: "complaint"; bundle: string; complaint: string; cells: Cells; today: string }
  | {
      ask: "complaint_found";
      bundle: string;
      complaint: string;
      cause: string;
      /** A fault; "" takes it back. */
      grade: string;
      cells: Cells;
      today: string;
    }
  | {
      ask: "amendments";
      events: Pick<LogEvent, "device" | "seq" | "put">[];
      through: Json;
    };

export interface Answers {
  load: { items: number };
  fold: { cells: Cells; live: Live };
  orders: { orders: Orders };
  /** [kind, text to hash] of each. */
  leaves: { leaves: [kind: string, text: string][] };
  unsigned: { text: string };
  item: { item: ItemJudgment };
  assess: { assessment: Assessment };
  next: { next: NextChecks };
  /** The shop's models that the car is of. */
  models: { models: { id: string; value: ShopModel }[] };
  seal: { photos: string; count: number };
  complaint_load: { tests: number };
  spotted: { claims: SpottedClaim[] };
  drive_plan: { plan: DrivePlan };
  leaving: { leaving: Leaving };
  closing: { closing: Closing };
  same_car: { visits: string[] };
  again: { again: Again };
  load_list: { lines: LoadLine[] };
  haul: { plan: HaulPlan };
  complaint: { complaint: Complaint };
  complaint_found: { puts: { put: string; value: Json }[] };
  amendments: { count: number };
}

/** Puts one question to the judge. Rejects where the judge does not run. */
export type Ask = <Q extends Question>(question: Q) => Promise<Answers[Q["ask"]]>;

/** Page to worker. The first message names the judge's files; each later one asks, or names more. */
export type ToWorker = { start: string } | { more: string } | { id: number; text: string };

/** Worker to page. */
export type FromWorker =
  | { ready: true }
  | { more: string; problem: Said | null }
  | { broken: Said }
  | { id: number; text: string };
