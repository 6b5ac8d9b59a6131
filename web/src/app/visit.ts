/**
 * The visit that is open: its record, its checklist, what the judge says of it, and the one way
 * to change it (`put`). What the screen shows as recorded is on the disk.
 */

import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Assessment, ItemJudgement, NextThings } from "../shared/assessment";
import type { Bundle, Item } from "../shared/checklist";
import { CONTENT } from "../shared/content";
import type { Cell, Cells, Json, Put } from "../shared/event";
import { sha256OfText } from "../store/chain";
import { withDatabase } from "../store/database";
import { append, cellsOf, eventsOfVisit, foldDirty, readyToAppend, throughOf } from "../store/log";
import { newId } from "../store/meta";
import { atOnce, inDepth, JudgeProblem, judgeTrouble, offlineNames } from "./judge";
import { alarm, notice } from "./signals";
import { moment, today } from "./time";
import { words } from "./words";

/** The whole is judged when the thumb pauses: sooner where a screen shows it. */
const ASSESS_DELAY_MS = { shown: 500, unseen: 1_500 };
const WARM_UP_MS = 150;
/** A call of the judge should stay below 100 kB (judgement/README.md). */
const EVENTS_A_CALL = 500;

export interface Change {
  put: string;
  value: Json;
}

const bundles = new Map<string, Promise<Bundle>>();

/** From where the service worker keeps it, without waking that up; else as it is to be had. */
async function findBundle(hash: string): Promise<Response> {
  const address = `/api/v1/checklists/${hash}.json`;
  const kept = await globalThis.caches
    ?.open(CONTENT)
    .then((cache) => cache.match(address))
    .catch(() => undefined);
  return kept ?? fetch(address);
}

function fetchBundle(hash: string): Promise<Bundle> {
  let loading = bundles.get(hash);
  if (loading === undefined) {
    loading = findBundle(hash).then(async (answer) => {
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
    // which checklist it began with is itself among what others wrote
    await foldFromOthers(visit);
    const cells = await cellsOf(visit);
    const hash = cells["about/bundle"]?.value;
    if (typeof hash === "string") await fetchBundle(hash);
  }
}

/** Whether two values of JSON are equal. */
function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  const [own, other] = [Object.entries(a), b as Record<string, unknown>];
  return (
    own.length === Object.keys(b).length && own.every(([key, value]) => isSame(value, other[key]))
  );
}

/** The latest stamp in a record: an assessment of the same stamp is still true. */
function stampOf(cells: Cells): string {
  let latest = "";
  for (const cell of Object.values(cells)) if (cell.at > latest) latest = cell.at;
  return latest;
}

/** Fold what other devices wrote to a visit; nothing where they wrote nothing. */
export async function foldFromOthers(visit: string): Promise<number> {
  return foldDirty(visit, async (events) => (await atOnce.ask({ ask: "fold", events })).cells);
}

export class Visit {
  /** The whole record. Cards look at their own item's part, so that a tap redraws one card. */
  readonly cells = signal<Cells>({});
  /** What of it is not of an item: the car, the brief, the seals. */
  private readonly beside = signal<Cells>({});
  readonly assessment = signal<Assessment | null>(null);
  /** Counts up when what changed is on its card: whoever sums up over all of them looks again. */
  readonly drawn = signal(0);
  /** Items that this car and this depth of visit ask for, in the checklist's order. */
  readonly items: ReadonlySignal<Item[]>;
  private readonly ofItem = new Map<string, Signal<Cells>>();
  private readonly judgedItem = new Map<string, Signal<ItemJudgement | undefined>>();
  private readonly applying = signal<ReadonlySet<string> | null>(null);
  private turn = 0;
  private readonly turns = new Map<string, number>();
  private timer = 0;
  private watching = 0;
  private assessing = false;
  private wanted = false;

  private constructor(
    readonly id: string,
    readonly bundle: Bundle,
  ) {
    for (const { id: item } of bundle.items) {
      this.ofItem.set(item, signal({}));
      this.judgedItem.set(item, signal(undefined));
    }
    this.items = computed(() => {
      const applying = this.applying.value;
      // until the judge has spoken: what a usual visit asks of any car
      if (applying === null) return bundle.items.filter((item) => item.depth !== "thorough");
      return bundle.items.filter((item) => applying.has(item.id));
    });
  }

  /** Open a visit as it lies on this phone: no network, no folding unless others wrote to it. */
  static async open(id: string): Promise<Visit> {
    const reading = cellsOf(id);
    const judging = withDatabase((database) => database.get("assessments", id));
    // the last judgement names the checklist: it is read beside the record, not after it
    judging.then((row) => row && fetchBundle(row.bundle)).catch(() => undefined);
    // what others wrote is folded before anything is shown of it
    const folded = await foldFromOthers(id).catch((problem) => {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return 1;
    });
    const cells = folded > 0 ? await cellsOf(id) : await reading;
    const hash = cells["about/bundle"]?.value;
    if (typeof hash !== "string") {
      throw new Error(
        "This visit lacks its checklist; it may still be on its way from the server.",
      );
    }
    const bundle = await fetchBundle(hash);
    const kept = await judging;
    const visit = Visit.of(id, bundle, cells, kept?.bundle === hash ? kept.assessment : null);
    const known = kept !== undefined && kept.bundle === hash && kept.today === today();
    if (!known || kept.stamp !== stampOf(cells)) visit.assessSoon(0);
    // needed with the first tap, not for the first picture
    window.setTimeout(() => {
      void readyToAppend().catch(() => undefined);
      void atOnce.withRules(bundle).catch(() => undefined);
    }, WARM_UP_MS);
    return visit;
  }

  /** A visit as it is given: nothing read, nothing asked. */
  static of(id: string, bundle: Bundle, cells: Cells, assessment: Assessment | null): Visit {
    const visit = new Visit(id, bundle);
    visit.show(cells, null);
    if (assessment !== null) visit.take(assessment);
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
    onRecorded(puts.length);
    return visit;
  }

  value(put: string): Json {
    const [kind, item = ""] = put.split("/");
    const cells = kind === "items" ? this.cellsOf(item) : this.beside.value;
    return cells[put]?.value ?? null;
  }

  /** Cells of one item. */
  cellsOf(item: string): Cells {
    return this.ofItem.get(item)?.value ?? {};
  }

  /** What the judge says of one item; undefined while it has not spoken. */
  judged(item: string): ItemJudgement | undefined {
    return this.judgedItem.get(item)?.value;
  }

  /** Not a look at the count: whoever shows a visit while drawing would draw without end. */
  private sumUp(): void {
    this.drawn.value = this.drawn.peek() + 1;
  }

  /** Show a record; `changed` names the paths that differ, null for all of it. */
  private show(cells: Cells, changed: string[] | null): void {
    const parts = new Map<string, Cells>();
    for (const put of changed ?? Object.keys(cells)) {
      const [kind, item] = put.split("/");
      const cell = cells[put];
      if (kind !== "items" || item === undefined || cell === undefined) continue;
      const part =
        parts.get(item) ?? (changed === null ? {} : { ...this.ofItem.get(item)?.peek() });
      part[put] = cell;
      parts.set(item, part);
    }
    const beside = (changed ?? Object.keys(cells)).filter((put) => !put.startsWith("items/"));
    batch(() => {
      this.cells.value = cells;
      if (beside.length > 0) {
        const known = changed === null ? {} : this.beside.peek();
        const written = Object.fromEntries(beside.map((put) => [put, cells[put] as Cell]));
        this.beside.value = { ...known, ...written };
      }
      for (const [item, part] of parts) {
        const known = this.ofItem.get(item);
        if (known !== undefined) known.value = part;
      }
      if (changed === null) this.sumUp();
    });
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
    // the thumb is at work again: the whole is judged when it pauses
    clearTimeout(this.timer);
    this.timer = 0;
    // judged while it is being stored; shown only once it is
    this.turn += 1;
    const turn = this.turn;
    const early: Map<string, ItemJudgement>[] = [];
    const judging = this.judgeWith(changes);
    judging.then(
      (judged) => early.push(judged),
      () => undefined,
    );
    try {
      const written = await append(changes.map((change) => ({ visit: this.id, ...change })));
      // one picture of both, where the judge was the quicker
      batch(() => {
        this.show({ ...this.cells.peek(), ...written }, Object.keys(written));
        for (const judged of early) this.showJudged(turn, judged);
      });
      alarm.value = null;
    } catch (problem) {
      const full = problem instanceof DOMException && problem.name === "QuotaExceededError";
      const own = problem instanceof Error && problem.name === "NotAnEvent";
      alarm.value = {
        text: own ? (problem as Error).message : full ? words.alarm.quota : words.alarm.write,
        again: own ? null : () => void this.put(changes, said, undoable),
      };
      this.assessWhenQuiet();
      return false;
    }
    if (early.length === 0) void this.showWhenJudged(turn, judging);
    // the card comes first; what is told around it comes with the next turn of the page
    window.setTimeout(() => {
      batch(() => {
        if (said !== null) {
          const undo = async () => {
            if (await this.put(before, null, false)) {
              notice.value = { text: words.undone, undo: null };
            }
          };
          notice.value = { text: said, undo: undoable ? undo : null };
        }
        this.sumUp();
        onRecorded(changes.length);
      });
      tellTabs([this.id]);
      this.assessWhenQuiet();
    });
    return true;
  }

  /** Show how changed items are judged, unless a later change has overtaken this one. */
  private showJudged(turn: number, judged: Map<string, ItemJudgement>): void {
    for (const [item, judgement] of judged) {
      const known = this.judgedItem.get(item);
      if (known === undefined || (this.turns.get(item) ?? 0) > turn) continue;
      this.turns.set(item, turn);
      known.value = judgement;
    }
  }

  private async showWhenJudged(
    turn: number,
    judging: Promise<Map<string, ItemJudgement>>,
  ): Promise<void> {
    try {
      this.showJudged(turn, await judging);
      this.sumUp();
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      judgeTrouble.value = problem.message;
    }
  }

  private carCells(): Cells {
    return Object.fromEntries(
      Object.entries(this.beside.peek()).filter(([put]) => /^(car|brief|about)\//.test(put)),
    );
  }

  /** Judge items as they would be with these changes; what is shown of it is decided later. */
  private async judgeWith(changes: Change[]): Promise<Map<string, ItemJudgement>> {
    const judged = new Map<string, ItemJudgement>();
    const items = new Set<string>();
    for (const { put } of changes) {
      const [kind, item] = put.split("/");
      if (kind === "items" && item !== undefined) items.add(item);
    }
    // a bulk act is judged as a whole; a tap at once
    if (items.size > 3) return judged;
    await atOnce.withRules(this.bundle);
    for (const item of items) {
      const cells = { ...this.cellsOf(item) };
      for (const { put, value } of changes) {
        if (put.startsWith(`items/${item}/`)) cells[put] = { value, at: "", others: [] };
      }
      const question = { bundle: this.bundle.hash, item, cells, car: this.carCells() };
      judged.set(item, (await atOnce.ask({ ask: "item", ...question, today: today() })).item);
    }
    return judged;
  }

  /** How a reading would be judged that is still being typed; nothing is recorded. */
  async preview(item: string, put: string, value: Json): Promise<ItemJudgement | null> {
    try {
      return (await this.judgeWith([{ put, value }])).get(item) ?? null;
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return null;
    }
  }

  /** What to look at in the minutes left; null while the judge cannot say. */
  async next(minutes: string): Promise<NextThings | null> {
    const judged = this.assessment.peek();
    if (judged === null) return null;
    const states = Object.fromEntries(
      Object.entries(judged.items)
        .filter(([, one]) => one.applies)
        .map(([item, one]) => [item, one.grade === "dangerous" ? one.grade : one.state]),
    );
    const kept = this.value("brief/uses");
    const uses = Array.isArray(kept) ? kept.filter((use) => typeof use === "string") : [];
    try {
      await inDepth.withRules(this.bundle);
      return (await inDepth.ask({ ask: "next", bundle: this.bundle.hash, states, uses, minutes }))
        .next;
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return null;
    }
  }

  assessSoon(delay_ms: number): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => {
      this.timer = 0;
      void this.assess();
    }, delay_ms);
  }

  private assessWhenQuiet(): void {
    this.assessSoon(this.watching > 0 ? ASSESS_DELAY_MS.shown : ASSESS_DELAY_MS.unseen);
  }

  /** A screen shows the whole: what is due is not held back. Returns how to say that it is gone. */
  watch(): () => void {
    this.watching += 1;
    if (this.timer !== 0) this.assessSoon(0);
    return () => {
      this.watching -= 1;
    };
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
        await inDepth.withRules(this.bundle);
        const day = today();
        const turn = this.turn;
        const cells = this.cells.value;
        const { assessment } = await inDepth.ask({
          ask: "assess",
          bundle: this.bundle.hash,
          visit: this.id,
          cells,
          today: day,
        });
        if (this.wanted || turn !== this.turn) {
          // something was recorded meanwhile: this one is old, and the next is already due
          continue;
        }
        this.take(assessment);
        const row = {
          visit: this.id,
          bundle: this.bundle.hash,
          today: day,
          stamp: stampOf(cells),
          assessment,
        };
        await withDatabase((database) => database.put("assessments", row)).catch((problem) => {
          // kept for the next start alone: where it finds no room, that start judges anew
          if (!(problem instanceof DOMException)) throw problem;
        });
      } while (this.wanted);
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      judgeTrouble.value = problem.message;
    } finally {
      this.assessing = false;
    }
  }

  private take(assessment: Assessment): void {
    const applying = new Set<string>();
    batch(() => {
      this.assessment.value = assessment;
      this.sumUp();
      for (const [item, known] of this.judgedItem) {
        const judged = assessment.items[item];
        if (judged?.applies === true) applying.add(item);
        // an equal judgement is not a new one: its card need not be drawn again
        if (!isSame(judged, known.peek())) known.value = judged;
      }
      const before = this.applying.peek();
      if (
        before === null ||
        before.size !== applying.size ||
        [...applying].some((id) => !before.has(id))
      ) {
        this.applying.value = applying;
      }
    });
  }

  /** Others wrote to this visit: fold it in and judge anew. */
  async refold(): Promise<void> {
    await foldFromOthers(this.id);
    this.show(await cellsOf(this.id), null);
    this.assessSoon(0);
  }

  /** Seals of this visit so far, by number. */
  seals(): { n: number; value: Record<string, Json> }[] {
    return Object.entries(this.beside.value)
      .map(([put, cell]) => ({ n: Number(/^seal\/(\d+)$/.exec(put)?.[1] ?? 0), value: cell.value }))
      .filter((seal) => seal.n > 0 && seal.value !== null)
      .map(({ n, value }) => ({ n, value: value as Record<string, Json> }))
      .sort((a, b) => a.n - b.n);
  }

  /** How many entries the last seal does not cover: the judge counts, in calls of a size it bears. */
  async amendments(): Promise<number> {
    const through = this.seals().at(-1)?.value.through;
    if (through === undefined) return 0;
    const events = await eventsOfVisit(this.id, through as Record<string, number>);
    let found = 0;
    for (let from = 0; from < events.length; from += EVENTS_A_CALL) {
      const piece = events.slice(from, from + EVENTS_A_CALL);
      found += (await inDepth.ask({ ask: "amendments", events: piece, through })).count;
    }
    return found;
  }

  /** Sign what stands now. */
  async seal(
    name: string,
    place: string,
    strokes: number[][],
    box: [number, number],
  ): Promise<boolean> {
    await foldFromOthers(this.id);
    const cells = await cellsOf(this.id);
    const through = await throughOf(this.id);
    const texts = await atOnce.ask({ ask: "seal", visit: this.id, cells });
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

/** Other tabs of this phone look at the same store: a visit's id says that it has changed. */
const tabs = new BroadcastChannel("bradawl");
tabs.onmessage = ({ data }: MessageEvent<string>) => {
  const visit = openVisit.peek();
  if (visit?.id === data) void visit.refold().catch(() => undefined);
};

export function tellTabs(visits: string[]): void {
  for (const visit of visits) tabs.postMessage(visit);
}

let onRecorded: (count: number) => void = () => undefined;

/** Called with the number of entries whenever some were stored: there is something to send. */
export function whenRecorded(tell: (count: number) => void): void {
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
  if (opening === id && visitProblem.value === null) return;
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
