/**
 * The visit that is open: its record, its checklist, what the judge says of it, and the one way
 * to change it (`put`). What the screen shows as recorded is on the disk.
 */

import { batch } from "@preact/signals";
import type { Assessment, Bundle, ItemJudgment, NextChecks } from "../../shared/contract";
import { type Cells, inspection, type Json, type Put } from "../../shared/event";
import { StoreVanished } from "../../store/database";
import { newId } from "../../store/encoding";
import { atOnce, inDepth, JudgeProblem, judgeTrouble, offlineNames } from "../device/judge-client";
import { moment, today } from "../device/local-time";
import { tellTabs } from "../device/tabs";
import { words } from "../text/en";
import { alarm, notice } from "./app-state";
import { fetchBundle, foldFromOthers } from "./bundles";
import { log, store } from "./storage";
import { Shown } from "./visit-view";

/** The whole is judged when the thumb pauses: sooner where a screen shows it. */
const ASSESS_DELAY_MS = { shown: 500, unseen: 1_500 };
const WARM_UP_MS = 150;

export interface Change {
  put: string;
  value: Json;
}

/** The latest stamp in a record: an assessment of the same stamp is still true. */
function stampOf(cells: Cells): string {
  let latest = "";
  for (const cell of Object.values(cells)) if (cell.at > latest) latest = cell.at;
  return latest;
}

export class Visit extends Shown {
  private turn = 0;
  private readonly turns = new Map<string, number>();
  private timer = 0;
  private watching = 0;
  private assessing = false;
  private wanted = false;

  /** Open a visit as it lies on this phone: no network, no folding unless others wrote to it. */
  static async open(id: string): Promise<Visit> {
    const reading = log.rows.cellsOf(id);
    const judging = store.run((database) => database.get("assessments", id));
    // the last judgement names the checklist: it is read beside the record, not after it
    judging.then((row) => row && fetchBundle(row.bundle)).catch(() => undefined);
    // what others wrote is folded before anything is shown of it
    const folded = await foldFromOthers(id).catch((problem) => {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return 1;
    });
    const cells = folded > 0 ? await log.rows.cellsOf(id) : await reading;
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
      void log.ready().catch(() => undefined);
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
    const scope = inspection(visit);
    const puts: Put[] = [
      { scope, put: "about/bundle", value: hash },
      { scope, put: "about/started", value: moment() },
      { scope, put: "about/app", value: names.app },
      { scope, put: "about/currency", value: currency },
      { scope, put: "car/id", value: newId() },
    ];
    if (inspector !== "") puts.push({ scope, put: "about/inspector", value: inspector });
    await log.append(puts);
    onRecorded(puts.length);
    return visit;
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
    const early: Map<string, ItemJudgment>[] = [];
    const judging = this.judgeWith(changes);
    judging.then(
      (judged) => early.push(judged),
      () => undefined,
    );
    const scope = inspection(this.id);
    try {
      const written = await log.append(changes.map((change) => ({ scope, ...change })));
      // one picture of both, where the judge was the quicker
      batch(() => {
        this.show({ ...this.cells.peek(), ...written }, Object.keys(written));
        for (const judged of early) this.showJudged(turn, judged);
      });
      alarm.value = null;
    } catch (problem) {
      this.raiseAlarm(problem, () => void this.put(changes, said, undoable));
      return false;
    }
    if (early.length === 0) void this.showWhenJudged(turn, judging);
    const undo = async () => {
      if (await this.put(before, null, false)) notice.value = { text: words.undone, undo: null };
    };
    this.tellAround(changes.length, said, undoable ? undo : null);
    return true;
  }

  /** Something could not be stored; `again` tries exactly that. */
  private raiseAlarm(problem: unknown, again: () => void): void {
    this.assessWhenQuiet();
    // where the storage itself is gone, a screen of its own says so
    if (problem instanceof StoreVanished) return;
    const full = problem instanceof DOMException && problem.name === "QuotaExceededError";
    const own = problem instanceof Error && problem.name === "NotAnEvent";
    alarm.value = {
      text: own ? (problem as Error).message : full ? words.alarm.quota : words.alarm.write,
      again: own ? null : again,
    };
  }

  /** The card comes first; what is told around it comes with the next turn of the page. */
  private tellAround(count: number, said: string | null, undo: (() => Promise<void>) | null): void {
    window.setTimeout(() => {
      batch(() => {
        if (said !== null) notice.value = { text: said, undo };
        this.sumUp();
        onRecorded(count);
      });
      tellTabs([this.id]);
      this.assessWhenQuiet();
    });
  }

  /** Entries that were recorded otherwise than by `put` are on the disk: show them. */
  async recorded(count: number, said: string): Promise<void> {
    this.turn += 1;
    this.show(await log.rows.cellsOf(this.id), null);
    alarm.value = null;
    this.tellAround(count, said, null);
  }

  /** Show how changed items are judged, unless a later change has overtaken this one. */
  private showJudged(turn: number, judged: Map<string, ItemJudgment>): void {
    for (const [item, judgement] of judged) {
      const known = this.judgedItem.get(item);
      if (known === undefined || (this.turns.get(item) ?? 0) > turn) continue;
      this.turns.set(item, turn);
      known.value = judgement;
    }
  }

  private async showWhenJudged(
    turn: number,
    judging: Promise<Map<string, ItemJudgment>>,
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
  private async judgeWith(changes: Change[]): Promise<Map<string, ItemJudgment>> {
    const judged = new Map<string, ItemJudgment>();
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
  async preview(item: string, put: string, value: Json): Promise<ItemJudgment | null> {
    try {
      return (await this.judgeWith([{ put, value }])).get(item) ?? null;
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return null;
    }
  }

  /** What to look at in the minutes left; null while the judge cannot say. */
  async next(minutes: string): Promise<NextChecks | null> {
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
        await store
          .run((database) => database.put("assessments", row))
          .catch((problem) => {
            // kept for the next start alone: where it finds no room, that start judges anew
            if (!(problem instanceof DOMException || problem instanceof StoreVanished))
              throw problem;
          });
      } while (this.wanted);
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      judgeTrouble.value = problem.message;
    } finally {
      this.assessing = false;
    }
  }

  /** Others wrote to this visit: fold it in and judge anew. */
  async refold(): Promise<void> {
    await foldFromOthers(this.id);
    this.show(await log.rows.cellsOf(this.id), null);
    this.assessSoon(0);
  }
}

let onRecorded: (count: number) => void = () => undefined;

/** Called with the number of entries whenever some were stored: there is something to send. */
export function whenRecorded(tell: (count: number) => void): void {
  onRecorded = tell;
}
