/** What is typed and not yet recorded goes to the disk when the page is put aside: it may not come back. */

export class PendingInput {
  private readonly records = new Set<() => void>();

  /** Call `record` if the page is hidden; returns the way to take that back. */
  add(record: () => void): () => void {
    this.records.add(record);
    return () => this.records.delete(record);
  }

  recordAll(): void {
    for (const record of [...this.records]) record();
  }

  /** From now on, whenever the page is hidden or left. */
  follow(page: Document, view: Window): void {
    page.addEventListener("visibilitychange", () => {
      if (page.visibilityState === "hidden") this.recordAll();
    });
    view.addEventListener("pagehide", () => this.recordAll());
  }
}
