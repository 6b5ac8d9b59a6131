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

export interface DriveHome {
  answer: "drive" | "limits" | "trailer" | "not_cleared";
  text: string;
  reasons: { item: string; text: string }[];
  caution: string;
}

export interface Assessment {
  items: Record<string, ItemJudgement>;
  areas: AreaState[];
  findings: string[];
  drive_home: DriveHome;
  coverage: {
    share_percent: number;
    by_area: Record<string, unknown>;
    not_reached: { item: string; why: string }[];
  };
  next?: unknown;
  money?: unknown;
  baseline?: unknown;
  brief?: unknown;
}
