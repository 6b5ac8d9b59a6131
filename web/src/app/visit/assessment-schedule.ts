/**
 * When the whole visit is judged, and by what record: when the thumb pauses, sooner where a screen
 * shows it. An assessment of a record that has changed meanwhile is not shown.
 */

import type { Assessment } from "../../shared/contract";
import type { Cells } from "../../shared/event";
import { type Store, StoreVanished } from "../../store/database";
import { JudgeProblem, type Judges } from "../device/judge";
import { today } from "../device/local-time";

const DELAY_MS = { shown: 500, unseen: 1_500 };

/** The latest stamp in a record: an assessment of the same stamp is still true. */
export function stampOf(cells: Cells): string {
  let latest = "";
  for (const cell of Object.values(cells)) if (cell.at > latest) latest = cell.at;
  return latest;
}

/** What is judged. */
export interface Assessed {
  id: string;
  bundle: Parameters<Judges["forVisit"]["withRules"]>[0];
  /** The record as it stands. */
  current(): Cells;
  show(assessment: Assessment): void;
}

export class AssessmentSchedule {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private isDue = false;
  private watching = 0;
  private isRunning = false;
  private isWanted = false;
  /** Counts what was recorded. */
  private changes = 0;

  constructor(
    private readonly visit: Assessed,
    private readonly judges: Judges,
    private readonly store: Store,
  ) {}

  /** Something is being recorded: the thumb is at work again, and what runs is out of date. */
  holdBack(): void {
    clearTimeout(this.timer);
    this.isDue = false;
    this.changes += 1;
  }

  in(delay_ms: number): void {
    clearTimeout(this.timer);
    this.isDue = true;
    this.timer = setTimeout(() => {
      this.isDue = false;
      void this.assess();
    }, delay_ms);
  }

  whenQuiet(): void {
    this.in(this.watching > 0 ? DELAY_MS.shown : DELAY_MS.unseen);
  }

  /** A screen shows the whole: what is due is not held back. Returns how to say that it is gone. */
  watch(): () => void {
    this.watching += 1;
    if (this.isDue) this.in(0);
    return () => {
      this.watching -= 1;
    };
  }

  /** The whole judged anew; kept, so that the next start has it at once. */
  private async assess(): Promise<void> {
    if (this.isRunning) {
      this.isWanted = true;
      return;
    }
    this.isRunning = true;
    try {
      do {
        this.isWanted = false;
        await this.assessOnce();
      } while (this.isWanted);
    } catch (problem) {
      if (!(problem instanceof JudgeProblem)) throw problem;
      this.judges.problem.value = problem.said;
    } finally {
      this.isRunning = false;
    }
  }

  private async assessOnce(): Promise<void> {
    const { id, bundle } = this.visit;
    await this.judges.forVisit.withRules(bundle);
    const day = today();
    const changes = this.changes;
    const cells = this.visit.current();
    const question = { bundle: bundle.hash, visit: id, cells, today: day };
    const { assessment } = await this.judges.forVisit.ask({ ask: "assess", ...question });
    // something was recorded meanwhile: this one is old, and the next is already due
    if (this.isWanted || changes !== this.changes) return;
    this.visit.show(assessment);
    const row = { visit: id, bundle: bundle.hash, today: day, stamp: stampOf(cells), assessment };
    await this.store
      .run((database) => database.put("assessments", row))
      .catch((problem) => {
        // kept for the next start alone: where it finds no room, that start judges anew
        if (!(problem instanceof DOMException || problem instanceof StoreVanished)) throw problem;
      });
  }
}
