/**
 * The visit that is open: its record, its checklist, what the judge says of it, and the one way
 * to change it (`put`). What the screen shows as recorded is on the disk.
 */

import { computed, type ReadonlySignal, signal } from "@preact/signals";
import type { Assessment, ItemJudgement } from "../shared/assessment";
import type { Bundle, Item } from "../shared/checklist";
import type { Cells, Json, Put } from "../shared/event";
import { sha256OfText } from "../store/chain";
import { withDatabase } from "../store/database";
import { append, cellsOf, foldDirty, throughOf } from "../store/log";
import { newId } from "../store/meta";
import { ask, JudgeProblem, judgeTrouble, offlineNames, withRules } from "./judge";
import { alarm, notice } from "./signals";
import { moment, today } from "./time";
import { words } from "./words";

const ASSESS_DELAY_MS = 350;

export interface Change {
  put: string;
  value: Json;
}

const bundles = new Map<string, Promise<Bundle>>();

function fetchBundle(hash: string): Promise<Bundle> {
  let loading = bundles.get(hash);
  if (loading === undefined) {
    loading = fetch(`/api/v1/checklists/${hash}.json`).then(async (answer) => {
      if (!answer.ok) throw new Error("The checklist of this visit is not on this phone.");
      return (await answer.json()) as Bundle;
    });
    bundles.set(hash, loading);
    loading.catch(() => bundles.delete(hash));
  }
  return loading;
}

/** Make sure that the checklists of these visits are on this phone, for when there is no signal. */
export async function takeBundlesAlong(visits: string[]): Promise<void> {
  for (const visit of visits) {
    const cells = await cellsOf(visit);
    const hash = cells["about/bundle"]?.value;
    if (typeof hash === "string") await fetchBundle(hash);
  }
}

export class Visit {
  readonly cells = signal<Cells>({});
  readonly assessment = signal<Assessment | null>(null);
  readonly judged = signal<Record<string, ItemJudgement>>({});
  readonly items: ReadonlySignal<Map<string, Item[]>>;
  private timer = 0;
  private assessing = false;
  private wanted = false;

  private constructor(
    readonly id: string,
    readonly bundle: Bundle,
  ) {
    this.items = computed(() => {
      const areas = new Map<string, Item[]>();
      for (const item of bundle.items) {
        if (this.judged.value[item.id]?.applies === false) continue;
        const list = areas.get(item.area) ?? [];
        list.push(item);
        areas.set(item.area, list);
      }
      return areas;
    });
  }

  /** Open a visit as it lies on this phone: no network, no folding unless others wrote to it. */
  static async open(id: string): Promise<Visit> {
    // what others wrote is folded before anything is shown of it
    await foldDirty(id, async (events) => (await ask({ ask: "fold", events })).cells).catch(
      (problem) => {
        if (!(problem instanceof JudgeProblem)) throw problem;
      },
    );
    const cells = await cellsOf(id);
    const hash = cells["about/bundle"]?.value;
    if (typeof hash !== "string") {
      throw new Error(
        "This visit lacks its checklist; it may still be on its way from the server.",
      );
    }
    const bundle = await fetchBundle(hash);
    const visit = new Visit(id, bundle);
    visit.cells.value = cells;
    const kept = await withDatabase((database) => database.get("assessments", id));
    if (kept !== undefined && kept.bundle === hash) visit.take(kept.assessment);
    visit.assessSoon(kept === undefined ? 0 : 50);
    return visit;
  }

  /** Begin a visit now, with today's checklist. Returns its id once it is on the disk. */
  static async begin(inspector: string, currency: string): Promise<string> {
    const names = await offlineNames();
    const hash = /([0-9a-f]{64})\.json$/.exec(names.checklists)?.[1];
    if (hash === undefined) throw new Error("The server's answer names no checklist.");
    await fetchBundle(hash);
    const visit = newId();
    const puts: Put[] = [
      { visit, put: "about/bundle", value: hash },
      { visit, put: "about/started", value: moment() },
      { visit, put: "about/app", value: names.app },
      { visit, put: "about/currency", value: currency },
      { visit, put: "car/id", value: newId() },
    ];
    if (inspector !== "") puts.push({ visit, put: "about/inspector", value: inspector });
    await append(puts);
    return visit;
  }

  value(put: string): Json {
    return this.cells.value[put]?.value ?? null;
  }

  text(put: string): string {
    const value = this.value(put);
    return typeof value === "string" ? value : typeof value === "number" ? String(value) : "";
  }

  /**
   * Record changes, all or none. The screen follows only when they are on the disk; a failed
   * write raises the alarm and offers the same again. Returns whether it was stored.
   */
  async put(changes: Change[], said: string | null = null, undoable = true): Promise<boolean> {
    const before = changes.map(({ put }) => ({ put, value: this.value(put) }));
    try {
      const written = await append(changes.map((change) => ({ visit: this.id, ...change })));
      this.cells.value = { ...this.cells.value, ...written };
      alarm.value = null;
    } catch (problem) {
      const full = problem instanceof DOMException && problem.name === "QuotaExceededError";
      const own = problem instanceof Error && problem.name === "NotAnEvent";
      alarm.value = {
        text: own ? (problem as Error).message : full ? words.alarm.quota : words.alarm.write,
        again: own ? null : () => void this.put(changes, said, undoable),
      };
      return false;
    }
    if (said !== null) {
      const undo = async () => {
        if (await this.put(before, null, false)) notice.value = { text: words.undone, undo: null };
      };
      notice.value = { text: said, undo: undoable ? undo : null };
    }
    onRecorded();
    this.judgeChanged(changes.map(({ put }) => put));
    return true;
  }

  private judgeChanged(puts: string[]): void {
    const items = new Set<string>();
    for (const put of puts) {
      const [kind, item] = put.split("/");
      if (kind === "items" && item !== undefined) items.add(item);
    }
    // a bulk act is judged as a whole; a tap at once
    if (items.size > 0 && items.size <= 3) for (const item of items) void this.judgeItem(item);
    this.assessSoon(ASSESS_DELAY_MS);
  }

  /** Cells of one item. */
  cellsOf(item: string, all: Cells = this.cells.value): Cells {
    const prefix = `items/${item}/`;
    return Object.fromEntries(Object.entries(all).filter(([put]) => put.startsWith(prefix)));
  }

  private carCells(): Cells {
    return Object.fromEntries(
      Object.entries(this.cells.value).filter(([put]) => /^(car|brief|about)\//.test(put)),
    );
  }

  private async judgeItem(item: string): Promise<void> {
    try {
      await withRules(this.bundle);
      const cells = this.cellsOf(item);
      const { item: judged } = await ask({
        ask: "item",
        bundle: this.bundle.hash,
        item,
        cells,
        car: this.carCells(),
        today: today(),
      });
      this.judged.value = { ...this.judged.value, [item]: judged };
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      judgeTrouble.value = problem.message;
    }
  }

  /** How a reading would be judged that is still being typed; nothing is recorded. */
  async preview(item: string, put: string, value: Json): Promise<ItemJudgement | null> {
    try {
      await withRules(this.bundle);
      const cells = { ...this.cellsOf(item), [put]: { value, at: "", others: [] } };
      return (
        await ask({
          ask: "item",
          bundle: this.bundle.hash,
          item,
          cells,
          car: this.carCells(),
          today: today(),
        })
      ).item;
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return null;
    }
  }

  assessSoon(delay_ms: number): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.assess(), delay_ms);
  }

  /** The whole judgement anew; kept, so that the next start has it at once. */
  async assess(): Promise<void> {
    if (this.assessing) {
      this.wanted = true;
      return;
    }
    this.assessing = true;
    try {
      do {
        this.wanted = false;
        await withRules(this.bundle);
        const day = today();
        const { assessment } = await ask({
          ask: "assess",
          bundle: this.bundle.hash,
          visit: this.id,
          cells: this.cells.value,
          today: day,
        });
        if (this.wanted) continue;
        this.take(assessment);
        const row = { visit: this.id, bundle: this.bundle.hash, today: day, assessment };
        await withDatabase((database) => database.put("assessments", row));
      } while (this.wanted);
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      judgeTrouble.value = problem.message;
    } finally {
      this.assessing = false;
    }
  }

  private take(assessment: Assessment): void {
    this.assessment.value = assessment;
    this.judged.value = assessment.items;
  }

  /** Others wrote to this visit: fold it in and judge anew. */
  async refold(): Promise<void> {
    await foldDirty(this.id, async (events) => (await ask({ ask: "fold", events })).cells);
    this.cells.value = await cellsOf(this.id);
    this.assessSoon(0);
  }

  /** Seals of this visit so far, by number. */
  seals(): { n: number; value: Record<string, Json> }[] {
    return Object.entries(this.cells.value)
      .map(([put, cell]) => ({ n: Number(/^seal\/(\d+)$/.exec(put)?.[1] ?? 0), value: cell.value }))
      .filter((seal) => seal.n > 0 && seal.value !== null)
      .map(({ n, value }) => ({ n, value: value as Record<string, Json> }))
      .sort((a, b) => a.n - b.n);
  }

  /** Sign what stands now. */
  async seal(
    name: string,
    place: string,
    strokes: number[][],
    box: [number, number],
  ): Promise<boolean> {
    await foldDirty(this.id, async (events) => (await ask({ ask: "fold", events })).cells);
    const cells = await cellsOf(this.id);
    const through = await throughOf(this.id);
    const texts = await ask({ ask: "seal", visit: this.id, cells });
    const n = (this.seals().at(-1)?.n ?? 0) + 1;
    const value = {
      name,
      place,
      at: moment(),
      strokes,
      box,
      through,
      record: await sha256OfText(texts.record),
      photos: { count: texts.count, hash: await sha256OfText(texts.photos) },
    };
    return this.put([{ put: `seal/${n}`, value }], words.seal.done, false);
  }
}

let onRecorded: () => void = () => undefined;

/** Called after every entry that was stored: there is something to send. */
export function whenRecorded(tell: () => void): void {
  onRecorded = tell;
}

/** The open visit, or what keeps it from opening. */
export const openVisit = signal<Visit | null>(null);
export const visitProblem = signal<string | null>(null);

let opening = "";

export async function showVisit(id: string | null): Promise<void> {
  if (id === null) {
    opening = "";
    openVisit.value = null;
    return;
  }
  if (opening === id && openVisit.value?.id === id) return;
  opening = id;
  visitProblem.value = null;
  openVisit.value = null;
  try {
    const visit = await Visit.open(id);
    if (opening === id) openVisit.value = visit;
  } catch (problem) {
    if (opening === id) {
      visitProblem.value = problem instanceof Error ? problem.message : String(problem);
    }
  }
}
