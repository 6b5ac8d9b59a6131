/** A small invented checklist and record: as much as the components need to show each of their faces. */

import type { Assessment, Bundle, Grade, Item, ItemJudgment } from "../src/shared/contract";
import type { Json } from "../src/shared/event";

const base = {
  area: "example",
  how: "Press with a thumb.",
  stage: "outside",
  where: "both sides",
  minutes: "1",
  depth: "usual" as const,
  cautions: [],
  applies: {},
  readings: [],
  choices: [],
  limits: [],
  settled_by: [],
  covers: [],
  weight: {},
  drive: "no" as const,
  drive_if: {},
  danger: 0,
  needs: [],
  stopped_by: [],
  implied_by: [],
  remedies: [],
  whys: [],
};

export const items: Record<string, Item> = {
  plain: {
    ...base,
    id: "example.plain",
    title: "Window rubbers",
    look: "Cracked, hard or loose at the corners.",
    answers: ["grade", "photo"],
    whys: ["cracked", "loose at a corner"],
  },
  choices: {
    ...base,
    id: "example.choices",
    title: "Edge of the arch",
    look: "Bubbles and soft metal along the lip.",
    cautions: ["sharp"],
    answers: ["choice", "grade", "photo"],
    choices: [
      { id: "clean", title: "No rust", grade: "none" },
      { id: "surface", title: "Surface rust", grade: "minor" },
      { id: "holed", title: "Holed", grade: "major" },
    ],
    whys: ["behind the lip", "filler under paint"],
  },
  readings: {
    ...base,
    id: "example.readings",
    title: "Lining thickness",
    look: "The thinnest place of each lining.",
    answers: ["grade"],
    readings: [
      {
        id: "lining",
        title: "Lining",
        quantity: "length",
        units: ["mm", "in/32"],
        at: ["front-left", "front-right", "rear-left", "rear-right"],
      },
    ],
  },
  single: {
    ...base,
    id: "example.single",
    title: "Voltage at rest",
    look: "Across the poles, an hour after the engine stopped.",
    answers: ["grade"],
    readings: [{ id: "rest", title: "At rest", quantity: "voltage", units: ["V", "mV"], at: [] }],
  },
};

export const bundle: Bundle = {
  format: 1,
  hash: "0".repeat(64),
  areas: [{ id: "example", title: "Example", report_order: 1 }],
  stages: [{ id: "outside", title: "Round the car" }],
  items: Object.values(items),
  sources: {
    practice: { title: "Common practice of the trade, no source", section: "", status: "practice" },
  },
  cautions: { sharp: { title: "Sharp rust", text: "Rusted edges cut. Gloves and glasses." } },
  rules: { items: {}, areas: [] },
};

export function cell(value: Json, others: Json[] = []) {
  const at = (n: number) => `${String(n).padStart(15, "0")}-00000-${"d".repeat(32)}`;
  return {
    value,
    at: at(9),
    others: others.map((other, index) => ({ value: other, at: at(8 - index) })),
  };
}

export function judged(grade: Grade | null, change: Partial<ItemJudgment> = {}): ItemJudgment {
  return {
    applies: true,
    asked: true,
    state: grade === null ? "open" : grade === "uninspected" ? "uninspected" : "done",
    grade,
    by: grade === null ? null : "person",
    measured: null,
    overruled: false,
    reasons: [],
    facts: {},
    problems: [],
    conflict: false,
    ...change,
  };
}

const nothing = { id: "judge-plan-done" };

export function assessment(of: Record<string, ItemJudgment>): Assessment {
  return {
    items: of,
    areas: [],
    findings: [],
    drive_home: { answer: "not_cleared", said: nothing, reasons: [] },
    coverage: { share_percent: 0, done: 0, total: 0, said: nothing, by_area: {}, not_reached: [] },
    next: {
      minutes: "15",
      items: [],
      total_minutes: "0",
      open: 0,
      left_out: [],
      said: nothing,
    },
    money: {
      currency: "EUR",
      rate: 60,
      assumed: [],
      lines: [],
      unpriced: [],
      totals: { low: 0, likely: 0, high: 0, expected: 0, p50: 0, p80: 0, p90: 0 },
      reserve: { amount: 0, items: [] },
      together: "0",
      price: {
        value: null,
        margin: 0,
        asking: null,
        walk_away: null,
        opening: null,
        said: nothing,
        arguments: [],
      },
      said: nothing,
    },
    baseline: [],
    combinations: [],
    brief: { uses: [], weights: {}, conflicts: [] },
    problems: [],
    questions: [],
    decision: {
      buy: "too_little",
      drive: "not_cleared",
      answers: { buy: [], drive: [], price: [], now: [] },
      spoken: [],
      overruled: [],
    },
  };
}
