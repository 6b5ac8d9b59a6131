/**
 * The visit that is open: its record, its checklist, what the judge says of it, and the one way
 * to change it (`put`). What the screen shows as recorded is on the disk.
 */

import { batch } from "@preact/signals";
import type { Assessment, Bundle, ItemJudgment, NextChecks } from "../../shared/contract";
import { type Cells, inspection, type Json } from "../../shared/event";
import { saidOf } from "../../shared/said";
import { type Store, StoreVanished } from "../../store/database";
import type { Log } from "../../store/log/log";
import { JudgeProblem, type Judges } from "../device/judge";
import { today } from "../device/local-time";
import type { Tabs } from "../device/tabs";
import { type AppState, writeFailure } from "../state/app-state";
import type { Bundles } from "../state/bundles";
import { text } from "../text/catalogue";
import { type Assessed, AssessmentSchedule, stampOf } from "./assessment-schedule";
import { VisitView } from "./visit-view";

/** As many items are judged with the tap that changes them; more are left to the whole. */
const ITEMS_AT_ONCE = 3;

export interface Change {
  put: string;
  value: Json;
}

/** What a visit works with: the storage, judges and signals of its page. */
export interface VisitServices {
  store: Store;
  log: Log;
  judges: Judges;
  bundles: Bundles;
  tabs: Tabs;
  state: AppState;
  /** Hears how many entries were stored: there is something to send. */
  onRecorded(count: number): void;
}

type Judged = Map<string, ItemJudgment>;

export class Visit extends VisitView {
  private readonly assessments: AssessmentSchedule;
  /** Counts changes; `turns` has the one by which each item was last judged. */
  private turn = 0;
  private readonly turns = new Map<string, number>();

  private constructor(
    readonly services: VisitServices,
    id: string,
    bundle: Bundle,
    device: string,
  ) {
    super(id, bundle, device);
    const assessed: Assessed = {
      id,
      bundle,
      current: () => this.cells.peek(),
      show: (assessment) => this.take(assessment),
    };
    this.assessments = new AssessmentSchedule(assessed, services.judges, services.store);
  }

  /** A visit as it is given: nothing read, nothing asked. */
  static of(
    services: VisitServices,
    id: string,
    bundle: Bundle,
    cells: Cells,
    assessment: Assessment | null,
    device = "",
  ): Visit {
    const visit = new Visit(services, id, bundle, device);
    visit.show(cells, null);
    if (assessment !== null) visit.take(assessment);
    return visit;
  }

  /**
   * Record changes, all or none. The screen follows only when they are on the disk; a failed
   * write raises the alarm and offers the same again. Returns whether it was stored.
   */
  async put(wanted: Change[], told: string | null = null, isUndoable = true): Promise<boolean> {
    const { log, state } = this.services;
    // whoever writes where two answers stand has settled them, and is named for it
    const changes = [
      ...wanted,
      ...wanted
        .filter(({ put }) => (this.cells.peek()[put]?.others.length ?? 0) > 0)
        .map(({ put }) => ({ put: `settled/${put}`, value: { why: "" } })),
    ];
    const before = changes.map(({ put }) => ({ put, value: this.value(put) }));
    this.assessments.holdBack();
    // judged while it is being stored; shown only once it is
    this.turn += 1;
    const turn = this.turn;
    const early: Judged[] = [];
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
      state.alarm.value = null;
    } catch (problem) {
      this.raiseAlarm(problem, () => void this.put(wanted, told, isUndoable));
      return false;
    }
    if (early.length === 0) void this.showWhenJudged(turn, judging);
    const undo = async () => {
      if (await this.put(before, null, false)) {
        state.notice.value = { text: text("phone-undone"), undo: null };
      }
    };
    this.tellAround(changes.length, told, isUndoable ? undo : null);
    return true;
  }

  /** Something could not be stored; `again` tries exactly that. */
  private raiseAlarm(problem: unknown, again: () => void): void {
    this.assessments.whenQuiet();
    // where the storage itself is gone, a screen of its own says so
    if (problem instanceof StoreVanished) return;
    const isUnrecordable = problem instanceof Error && problem.name === "NotAnEvent";
    this.services.state.alarm.value = isUnrecordable
      ? { said: saidOf(problem), again: null }
      : { said: writeFailure(problem), again };
  }

  /** The card comes first; what is told around it comes with the next turn of the page. */
  private tellAround(count: number, text: string | null, undo: (() => Promise<void>) | null): void {
    setTimeout(() => {
      batch(() => {
        if (text !== null) this.services.state.notice.value = { text, undo };
        this.sumUp();
        this.services.onRecorded(count);
      });
      this.services.tabs.tellVisits([this.id]);
      this.assessments.whenQuiet();
    });
  }

  /** Entries that were recorded otherwise than by `put` are on the disk: show them. */
  async recorded(count: number, text: string): Promise<void> {
    this.turn += 1;
    this.assessments.holdBack();
    this.show(await this.services.log.rows.cellsOf(this.id), null);
    this.services.state.alarm.value = null;
    this.tellAround(count, text, null);
  }

  /** Show how changed items are judged, unless a later change has overtaken this one. */
  private showJudged(turn: number, judged: Judged): void {
    for (const [item, judgment] of judged) {
      if ((this.turns.get(item) ?? 0) > turn) continue;
      this.turns.set(item, turn);
      this.judgment(item).value = judgment;
    }
  }

  private async showWhenJudged(turn: number, judging: Promise<Judged>): Promise<void> {
    try {
      this.showJudged(turn, await judging);
      this.sumUp();
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      this.services.judges.problem.value = problem.message;
    }
  }

  private carCells(): Cells {
    return Object.fromEntries(
      Object.entries(this.beside.peek()).filter(([put]) =>
        /^(car|brief|about|claims|wants)\//.test(put),
      ),
    );
  }

  /** Items of which a reading is filled by that figure of the car. */
  private itemsWith(fact: string): string[] {
    const isFilled = ({ figure }: { figure?: string }) =>
      figure !== undefined && (fact === figure || fact.startsWith(`${figure}_`));
    return this.bundle.items.flatMap(({ id, readings }) =>
      (readings ?? []).some(isFilled) ? [id] : [],
    );
  }

  /** Judge items as they would be with these changes; what is shown of it is decided later. */
  private async judgeWith(changes: Change[]): Promise<Judged> {
    const { forTaps } = this.services.judges;
    const judged: Judged = new Map();
    const items = new Set<string>();
    const car = this.carCells();
    for (const { put, value } of changes) {
      const [kind, item] = put.split("/");
      if (kind === "items" && item !== undefined) items.add(item);
      if (kind !== "car" || item === undefined) continue;
      car[put] = { value, at: "", others: [] };
      for (const name of this.itemsWith(item)) items.add(name);
    }
    // a bulk act is judged as a whole; a tap at once
    if (items.size > ITEMS_AT_ONCE) return judged;
    await forTaps.withRules(this.bundle);
    for (const item of items) {
      const cells = { ...this.cellsOf(item) };
      for (const { put, value } of changes) {
        if (put.startsWith(`items/${item}/`)) cells[put] = { value, at: "", others: [] };
      }
      const question = { bundle: this.bundle.hash, item, cells, car, shown: "worked" as const };
      judged.set(item, (await forTaps.ask({ ask: "item", ...question, today: today() })).item);
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
    const assessment = this.assessment.peek();
    if (assessment === null) return null;
    const states = Object.fromEntries(
      Object.entries(assessment.items)
        .filter(([, judged]) => judged.applies)
        .map(([item, { state }]) => [item, assessment.marks?.[item] ?? state]),
    );
    const { forVisit } = this.services.judges;
    try {
      await forVisit.withRules(this.bundle);
      const drive = assessment.drive_home.answer;
      const enough = assessment.next.enough ?? null;
      const question = {
        bundle: this.bundle.hash,
        states,
        car: this.carCells(),
        minutes,
        drive,
        enough,
        wants: assessment.wants ?? [],
      };
      return (await forVisit.ask({ ask: "next", ...question, today: today() })).next;
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      return null;
    }
  }

  /** The verdict on the record as it stands, for a signature to cover. */
  async verdict(): Promise<Json> {
    const { forVisit } = this.services.judges;
    await forVisit.withRules(this.bundle);
    const record = { bundle: this.bundle.hash, visit: this.id, cells: this.cells.peek() };
    const { assessment } = await forVisit.ask({ ask: "assess", ...record, today: today() });
    const { decision, money } = assessment;
    const { buy, drive } = decision;
    return { buy, drive, top_price: money.price.walk_away, currency: money.currency };
  }

  /** A screen shows the whole: what is due is not held back. Returns how to say that it is gone. */
  watch(): () => void {
    return this.assessments.watch();
  }

  /** Have the whole judged now, unless this assessment is that of today and of this record. */
  assessUnless(stored: { today: string; stamp?: string } | null): void {
    const isCurrent = stored?.today === today() && stored.stamp === stampOf(this.cells.peek());
    if (!isCurrent) this.assessments.in(0);
  }

  /** Others wrote to this visit: fold it in and judge anew. */
  async refold(): Promise<void> {
    await this.services.bundles.foldFromOthers(this.id);
    this.show(await this.services.log.rows.cellsOf(this.id), null);
    this.assessments.in(0);
  }
}
