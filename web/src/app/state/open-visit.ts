/** Which visit is open. */

import { signal } from "@preact/signals";
import { type Said, saidOf } from "../../shared/said";
import type { Visit } from "../visit/visit";

export class OpenVisit {
  /** The open visit, or what keeps it from opening. */
  readonly visit = signal<Visit | null>(null);
  readonly problem = signal<Said | null>(null);
  /** Id of what is open or being opened. */
  private wanted: string | null = null;

  constructor(private readonly load: (id: string) => Promise<Visit>) {}

  /** Open a visit, unless it is open already; null closes what is open. */
  async show(id: string | null): Promise<void> {
    if (id === null) {
      this.wanted = null;
      this.visit.value = null;
      return;
    }
    if (this.wanted === id && this.problem.value === null) return;
    this.wanted = id;
    this.problem.value = null;
    this.visit.value = null;
    try {
      const visit = await this.load(id);
      if (this.wanted === id) this.visit.value = visit;
    } catch (problem) {
      if (this.wanted === id) {
        this.problem.value = saidOf(problem);
      }
    }
  }

  /** Open the same visit anew: what it was read from is another storage now. */
  async showAgain(): Promise<void> {
    const id = this.wanted;
    this.wanted = null;
    this.visit.value = null;
    if (id !== null) await this.show(id);
  }

  /** Others wrote to a visit: if it is the open one, it shows that. */
  async changed(id: string): Promise<void> {
    const visit = this.visit.peek();
    if (visit?.id === id) await visit.refold();
  }
}
