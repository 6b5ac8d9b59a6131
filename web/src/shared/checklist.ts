/** The checklist bundle as the server serves it. All numbers are integers or text. */

import type { Json } from "./event";

export type Grade = "none" | "minor" | "major" | "dangerous" | "uninspected";

export interface Reading {
  id: string;
  title: string;
  quantity: string;
  /** The first is the default. */
  units: string[];
  /** Places on the car; absent or empty means that there is but one. */
  at?: string[];
  plausible?: [string, string];
}

export interface Choice {
  id: string;
  title: string;
  grade?: Grade;
}

export interface Item {
  id: string;
  area: string;
  title: string;
  look: string;
  how: string;
  where?: string;
  stage: string;
  minutes?: string;
  /** "thorough" is asked only when the visit is to be thorough. */
  depth?: string;
  /** Whether the drive home depends on it. */
  drive?: "essential" | "matters" | "no";
  cautions?: string[];
  answers: ("grade" | "choice" | "text" | "photo")[];
  readings?: Reading[];
  choices?: Choice[];
  whys?: string[];
  [other: string]: unknown;
}

export interface Area {
  id: string;
  title: string;
  report_order: number;
}

export interface Bundle {
  format: number;
  hash: string;
  areas: Area[];
  stages: { id: string; title: string }[];
  items: Item[];
  sources: Record<string, { title: string; section?: string; status: string }>;
  cautions: Record<string, { title: string; text: string }>;
  rules: { items: Record<string, Json>; [other: string]: Json | Record<string, Json> };
}
