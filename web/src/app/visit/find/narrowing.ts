/** A list of checks narrowed: what is left, in dispute, from this phone; by area, step and danger. */

import type { Item } from "../../../shared/contract";
import { DEVICE_FROM, gradeValue, shownGrade } from "../items/item-record";
import type { VisitView } from "../visit-view";
import { canHurt, isOpen } from "../walk-order";

/** What a check may have to be to stand in the list; one at a time. */
export const STATES = ["left", "uninspected", "disputed", "mine", "unasked", "all"] as const;
export type State = (typeof STATES)[number];

export interface Narrowing {
  /** Null where nobody chose: what is left, and everything while something is searched. */
  state: State | null;
  safety: boolean;
  area: string;
  stage: string;
}

/** As it stands in an address: `left.safety.area=brakes`. */
export function narrowingIn(shows: string): Narrowing {
  const parts = shows.split(".");
  const after = (head: string) =>
    parts.find((part) => part.startsWith(head))?.slice(head.length) ?? "";
  return {
    state: STATES.find((state) => parts.includes(state)) ?? null,
    safety: parts.includes("safety"),
    area: after("area="),
    stage: after("stage="),
  };
}

export function shownBy({ state, safety, area, stage }: Narrowing): string {
  return [
    state ?? "",
    safety ? "safety" : "",
    area === "" ? "" : `area=${area}`,
    stage === "" ? "" : `stage=${stage}`,
  ]
    .filter((part) => part !== "")
    .join(".");
}

/** Whether two answers stand beside each other, or an answer raises a question. */
function isDisputed(visit: VisitView, { id }: Item): boolean {
  if (Object.values(visit.cellsOf(id)).some(({ others }) => others.length > 0)) return true;
  const asked = visit.judged(id)?.problems ?? [];
  return asked.some(({ code }) => code === "contradiction" || code === "doubt");
}

/** Whether what stands there was recorded by this device. */
function isFrom(visit: VisitView, { id }: Item, device: string): boolean {
  return Object.values(visit.cellsOf(id)).some(
    ({ value, at }) => value !== null && at.slice(DEVICE_FROM) === device,
  );
}

/** What the list asks of checks, and knows of them. */
export class Narrowed {
  private readonly asked: ReadonlySet<Item>;

  constructor(
    private readonly visit: VisitView,
    private readonly by: Narrowing,
    /** This phone's own device. */
    private readonly device: string,
  ) {
    this.asked = new Set(visit.items.value);
  }

  isAsked(item: Item): boolean {
    return this.asked.has(item);
  }

  private isIn(item: Item, state: State | null): boolean {
    const { visit } = this;
    if (state === "unasked") return !this.isAsked(item) && visit.judged(item.id)?.applies === true;
    if (state === null) return true;
    if (!this.isAsked(item)) return false;
    if (state === "left") return isOpen(visit, item);
    if (state === "uninspected") {
      const grade = gradeValue(visit, item)?.grade ?? visit.judged(item.id)?.grade;
      return grade === "uninspected";
    }
    if (state === "disputed") return isDisputed(visit, item);
    if (state === "mine") return isFrom(visit, item, this.device);
    return true;
  }

  private isSafe(item: Item): boolean {
    return !canHurt(item) && shownGrade(this.visit, item) !== "dangerous";
  }

  /** Those of `items` that stand in the list; `but` has one of what narrows it otherwise. */
  of(items: readonly Item[], but: Partial<Narrowing> = {}): Item[] {
    const { state, safety, area, stage } = { ...this.by, ...but };
    return items.filter(
      (item) =>
        this.isIn(item, state) &&
        !(safety && this.isSafe(item)) &&
        (area === "" || item.area === area) &&
        (stage === "" || item.stage === stage),
    );
  }
}
