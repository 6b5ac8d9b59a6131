/** A visit as the screen sees it: its record and what the judge says, in signals. */

import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Assessment, Bundle, Item, ItemJudgment } from "../../shared/contract";
import type { Cell, Cells, Json } from "../../shared/event";
import { ownFindings } from "./items/own-findings";

/** Whose turn a stage is: -1 one's own, 1 somebody else's; nobody's is not there. */
export type Turns = Record<string, number>;

/** Whether two values of JSON are equal. */
function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  const [own, other] = [Object.entries(a), b as Record<string, unknown>];
  return (
    own.length === Object.keys(b).length && own.every(([key, value]) => isSame(value, other[key]))
  );
}

/** The signal of a name, from the first look at it on: a record may hold items of no checklist. */
function kept<T>(signals: Map<string, Signal<T>>, name: string, first: T): Signal<T> {
  const found = signals.get(name) ?? signal(first);
  signals.set(name, found);
  return found;
}

export class VisitView {
  /** The whole record. Cards look at their own item's part, so that a tap redraws one card. */
  readonly cells = signal<Cells>({});
  /** What of it is not of an item: the car, the brief, the seals. */
  protected readonly beside = signal<Cells>({});
  readonly assessment = signal<Assessment | null>(null);
  /** Counts up when what changed is on its card: whoever sums up over all of them looks again. */
  readonly drawn = signal(0);
  /** Items whose fault work has closed, with proof. */
  readonly mended: ReadonlySignal<ReadonlySet<string>> = computed(
    () => new Set(this.assessment.value?.now?.mended ?? []),
  );
  /** Items that this car and this depth of visit ask for, in the checklist's order. */
  readonly items: ReadonlySignal<Item[]>;
  private readonly ofItem = new Map<string, Signal<Cells>>();
  private readonly known: ReadonlyMap<string, Item>;
  private readonly judgedItem = new Map<string, Signal<ItemJudgment | undefined>>();
  private readonly applying = signal<ReadonlySet<string> | null>(null);
  /** Items that the person pulled in, whether or not the visit asks for them. */
  private readonly pulled = signal<ReadonlySet<string>>(new Set());
  /** Findings that no check asks for, as items. */
  readonly own: ReadonlySignal<Item[]>;
  /** What was left at home, by id; one text, which stays equal while nobody changes it. */
  readonly leftAtHome: ReadonlySignal<string> = computed(() =>
    Object.entries(this.beside.value)
      .flatMap(([put, { value }]) =>
        value === "left" && /^load\//.test(put) ? [put.slice(5)] : [],
      )
      .join(" "),
  );
  /** Whose turn each stage is, where two phones have the visit. */
  readonly whose = signal<Turns>({});
  /** Whether another device than this phone's own wrote here. */
  readonly isShared: ReadonlySignal<boolean> = computed(() => {
    const cells = Object.values(this.cells.value);
    // a stamp ends in its device
    return cells.some(({ at, others }) => others.length > 0 || !at.endsWith(this.device));
  });
  /** Items that fit the car and that the visit does not ask for. */
  readonly unasked: ReadonlySignal<Item[]>;

  protected constructor(
    readonly id: string,
    readonly bundle: Bundle,
    /** This phone's own, as the visit was opened. */
    private readonly device: string,
  ) {
    this.known = new Map(bundle.items.map((item) => [item.id, item]));
    let own: Item[] = [];
    this.own = computed(() => {
      const now = ownFindings(this.cells.value);
      // the same findings stay the same: no tap on a check draws again what shows them
      if (!isSame(now, own)) own = now;
      return own;
    });
    this.items = computed(() => {
      const applying = this.applying.value;
      const pulled = this.pulled.value;
      // until the judge has spoken: what a usual visit asks of any car
      if (applying === null) return bundle.items.filter((item) => item.depth !== "thorough");
      return bundle.items.filter(({ id }) => applying.has(id) || pulled.has(id));
    });
    this.unasked = computed(() => {
      const [asked, judged] = [new Set(this.items.value), this.assessment.value?.items ?? {}];
      // what another answer settles needs no look, and is settled without being asked
      const isLeft = ({ id }: Item) => judged[id]?.applies === true && judged[id].state === "open";
      return bundle.items.filter((item) => !asked.has(item) && isLeft(item));
    });
  }

  /** Show an item that the visit does not ask for; once it has an answer, it counts. */
  pull(item: string): void {
    const isShown = this.items.peek().some(({ id }) => id === item);
    if (isShown || this.assessment.peek()?.items[item]?.applies !== true) return;
    batch(() => {
      this.hold(item);
      this.sumUp();
    });
  }

  /** Keep an item on its page whose only reason to be asked was its answer. */
  hold(item: string): void {
    this.pulled.value = new Set([...this.pulled.peek(), item]);
  }

  value(put: string): Json {
    const [kind, item = ""] = put.split("/");
    const cells = kind === "items" ? this.cellsOf(item) : this.beside.value;
    return cells[put]?.value ?? null;
  }

  /** A check or a finding of one's own; undefined where the record names one that is not there. */
  item(id = ""): Item | undefined {
    return this.known.get(id) ?? this.own.value.find((item) => item.id === id);
  }

  /** Cells that are of no item: a tap on a card changes none of them. */
  besideItems(): Cells {
    return this.beside.value;
  }

  /** Cells of one item. */
  cellsOf(item: string): Cells {
    return kept(this.ofItem, item, {}).value;
  }

  /** What the judge says of one item; undefined while it has not spoken. */
  judged(item: string): ItemJudgment | undefined {
    return this.judgment(item).value;
  }

  protected judgment(item: string): Signal<ItemJudgment | undefined> {
    return kept(this.judgedItem, item, this.assessment.peek()?.items[item]);
  }

  /** Not a look at the count: whoever shows a visit while drawing would draw without end. */
  protected sumUp(): void {
    this.drawn.value = this.drawn.peek() + 1;
  }

  /** Show a record; `changed` names the paths that differ, null for all of it. */
  protected show(cells: Cells, changed: string[] | null): void {
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
      if (beside.length > 0 || changed === null) {
        const before = changed === null ? {} : this.beside.peek();
        const written = Object.fromEntries(beside.map((put) => [put, cells[put] as Cell]));
        this.beside.value = { ...before, ...written };
      }
      for (const [item, part] of parts) kept(this.ofItem, item, {}).value = part;
      // what was fenced off or erased leaves nothing behind
      for (const [item, shown] of changed === null ? this.ofItem : []) {
        if (!parts.has(item) && Object.keys(shown.peek()).length > 0) shown.value = {};
      }
      if (changed === null) this.sumUp();
    });
  }

  /** A recorded text or number as a text; "" for anything else. */
  text(put: string): string {
    const value = this.value(put);
    return typeof value === "string" ? value : typeof value === "number" ? String(value) : "";
  }

  protected take(assessment: Assessment): void {
    const { items } = assessment;
    const applying = new Set(Object.keys(items).filter((item) => items[item]?.asked));
    batch(() => {
      this.assessment.value = assessment;
      this.sumUp();
      for (const [item, shown] of this.judgedItem) {
        const judged = items[item];
        // an equal judgement is not a new one: its card need not be drawn again
        if (!isSame(judged, shown.peek())) shown.value = judged;
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

  /** What the car is wanted for. */
  uses(): string[] {
    const uses = this.value("brief/uses");
    return Array.isArray(uses) ? uses.filter((use) => typeof use === "string") : [];
  }

  /** Seals of this visit so far, by number. */
  seals(): { n: number; value: Record<string, Json> }[] {
    return Object.entries(this.beside.value)
      .map(([put, cell]) => ({ n: Number(/^seal\/(\d+)$/.exec(put)?.[1] ?? 0), value: cell.value }))
      .filter((seal) => seal.n > 0 && seal.value !== null)
      .map(({ n, value }) => ({ n, value: value as Record<string, Json> }))
      .sort((a, b) => a.n - b.n);
  }
}
