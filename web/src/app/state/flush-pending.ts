/** What is typed and not yet recorded goes to the disk when the page is put aside: it may not come back. */

const waiting = new Set<() => void>();

/** Call `record` if the page is hidden; returns the way to take that back. */
export function recordWhenHidden(record: () => void): () => void {
  waiting.add(record);
  return () => waiting.delete(record);
}

function recordAll(): void {
  for (const record of [...waiting]) record();
}

document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") recordAll();
});
window.addEventListener("pagehide", recordAll);
