/** Pages of the app without a browser: a small checklist, the real judge, one storage. */

import { signal } from "@preact/signals";
import { vi } from "vitest";
import type { Judge, Judges } from "../../src/app/device/judge";
import { Page } from "../../src/app/state/page";
import { Visit } from "../../src/app/visit/visit";
import { loadVisit } from "../../src/app/visit/visits";
import type { Bundle, Item } from "../../src/shared/contract";
import type { Cells } from "../../src/shared/event";
import type { Ask } from "../../src/shared/judge-messages";
import { ask } from "../judge";
import { newStorage } from "../store/store";

export const visitId = "a1".repeat(16);
export const scope = `inspection/${visitId}`;
const HASH = "c".repeat(64);

export function item(id: string, more: Partial<Item> = {}): Item {
  const [area = ""] = id.split(".");
  return {
    ...{ id, area, title: id, look: "Look.", how: "By eye.", where: "", stage: "outside" },
    ...{ minutes: "1", depth: "usual" as const, answers: ["grade" as const, "photo" as const] },
    ...{ cautions: [], applies: {}, readings: [], choices: [], limits: [], settled_by: [] },
    ...{ covers: [], weight: {}, drive: "no" as const, drive_if: {}, danger: 0, needs: [] },
    ...{ stopped_by: [], implied_by: [], remedies: [], whys: [], ...more },
  };
}

/** Two areas, two stages, six items; `brakes.pads` is what the drive home depends on. */
export const bundle: Bundle = {
  format: 1,
  hash: HASH,
  areas: [
    { id: "brakes", title: "Brakes", report_order: 1 },
    { id: "body", title: "Body", report_order: 2 },
    { id: "none", title: "Nothing here", report_order: 3 },
  ],
  stages: [
    { id: "outside", title: "Round the car" },
    { id: "underneath", title: "Under the car" },
  ],
  items: [
    item("brakes.pads", { drive: "essential", stage: "underneath" }),
    item("brakes.hoses", { stage: "underneath" }),
    item("brakes.fluid"),
    item("body.doors"),
    item("body.sills", { stage: "underneath" }),
    item("body.seams", { depth: "thorough" }),
  ],
  sources: {},
  cautions: {},
  rules: { items: {}, areas: [] },
};

/** The real judge for folds, leaves and seals; items and visits are not judged. */
function judgeOf(answers: Ask): Judge {
  return {
    ask: answers,
    start: async () => undefined,
    withRules: async () => undefined,
    withTrouble: async () => undefined,
    hash: async () => "d".repeat(64),
  };
}

export function judges(answers: Ask = realJudge): Judges {
  const judge = judgeOf(answers);
  return { problem: signal(null), forTaps: judge, forVisit: judge, ask: answers };
}

const NOT_JUDGED = { applies: true, asked: true, state: "open", grade: null, by: null };

/** Without the rules of a checklist: an item is open, and a visit is not assessed. */
export const realJudge: Ask = async (question) => {
  const nothing = { measured: null, overruled: false, reasons: [], facts: {}, problems: [] };
  if (question.ask === "item") {
    return { item: { ...NOT_JUDGED, ...nothing, conflict: false } } as never;
  }
  if (question.ask === "assess") return new Promise<never>(() => undefined);
  return ask(question);
};

let pages: Page[] = [];

/** One page of the phone; all pages of a test share its storage and its channel. */
export function newPage(answers?: Ask): Page {
  const page = new Page({
    judges: judges(answers),
    channel: new BroadcastChannel("bradawl-test"),
    hostname: "localhost",
  });
  page.bundles.fetch = async () => bundle;
  pages.push(page);
  return page;
}

/** A page over an empty storage; all others are gone. */
export async function newAppPhone(answers?: Ask): Promise<Page> {
  await closePages();
  newStorage();
  return newPage(answers);
}

export async function closePages(): Promise<void> {
  // what follows a change is told with the next turn
  await new Promise((resolve) => setTimeout(resolve));
  for (const page of pages) {
    page.sync.stop();
    page.tabs.close();
    page.log.rows.stopSettling();
    await page.store.close().catch(() => undefined);
  }
  pages = [];
}

/** Begin the visit of the tests on this page, and open it. */
export async function begin(page: Page): Promise<Visit> {
  await page.log.append([{ scope, put: "about/bundle", value: HASH }]);
  return loadVisit(page, visitId);
}

/** A visit that shows these cells, of which nothing is stored. */
export function shownVisit(page: Page, values: Record<string, unknown>, of = bundle): Visit {
  const cells: Cells = {};
  for (const [put, value] of Object.entries(values)) {
    cells[put] = { value: value as never, at: "", others: [] };
  }
  return Visit.of(page, visitId, of, cells, null);
}

/** Wait until `check` no longer throws, as long as a busy machine may need. */
export function eventually<T>(check: () => T | Promise<T>): Promise<T> {
  return vi.waitFor(check, 30_000);
}
