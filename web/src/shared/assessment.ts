/** What the judge answers. Texts in it are finished sentences. */

import type { Grade } from "./checklist";

export interface Reason {
  code: string;
  text: string;
  source?: string;
}

export interface Problem {
  code: string;
  text: string;
  path?: string;
}

export interface ItemJudgement {
  applies: boolean;
  /** False when another answer settles it. */
  asked: boolean;
  state: "open" | "done" | "uninspected";
  grade: Grade | null;
  by: string | null;
  measured: Grade | null;
  overruled: boolean;
  reasons: Reason[];
  facts: Record<string, { text: string; value?: unknown; unit?: string }>;
  problems: Problem[];
  conflict: boolean;
}

export interface AreaState {
  area: string;
  title: string;
  open: number;
  done: number;
  uninspected: number;
  worst: Grade | null;
  total: number;
}

/** What to look at in the minutes left. */
export interface NextThings {
  minutes: string;
  items: { item: string; minutes: string; worth: number; text: string }[];
  setup: { stage: string; minutes: string }[];
  total_minutes: string;
  text: string;
}

/** Whole units of the visit's currency. */
export interface Money {
  currency: string;
  rate: number;
  assumed: string[];
  lines: {
    id: string;
    item: string;
    title: string;
    cost: [number, number, number];
    expected: number;
  }[];
  unpriced: string[];
  totals: { low: number; likely: number; high: number; p50: number; p80: number; p90: number };
  reserve: { amount: number; items: { item: string; amount: number }[] };
  price: {
    value: number | null;
    margin: number;
    asking: number | null;
    /** Absent while nobody said what a good one is worth. */
    walk_away?: number | null;
    opening?: number | null;
    text: string;
    arguments?: { item: string; text: string; amount: number }[];
  };
  text: string;
}

/** Maintenance: what has no document counts as due. */
export interface Upkeep {
  id: string;
  item: string;
  due: boolean;
  text: string;
}

export interface DriveHome {
  answer: "drive" | "limits" | "trailer" | "not_cleared";
  text: string;
  /** `seen` is whether anybody looked at the item. */
  reasons: { item: string; text: string; seen: boolean }[];
  limits?: string[];
  caution: string;
}

export interface Assessment {
  items: Record<string, ItemJudgement>;
  areas: AreaState[];
  findings: string[];
  drive_home: DriveHome;
  coverage: {
    share_percent: number;
    text: string;
    by_area: Record<string, unknown>;
    not_reached: { item: string; why: string }[];
  };
  next: NextThings;
  baseline: Upkeep[];
  money: Money;
  brief: { text: string; conflicts: { uses: string[]; text: string; source: string }[] };
}
