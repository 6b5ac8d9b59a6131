/** Which visit is open. */

import { signal } from "@preact/signals";
import { whenTabsTell } from "../device/tabs";
import { Visit } from "./visit";

/** The open visit, or what keeps it from opening. */
export const openVisit = signal<Visit | null>(null);
export const visitProblem = signal<string | null>(null);

let opening = "";

/** Open a visit, unless it is open already; null closes what is open. */
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

/** Open the same visit anew: what it was read from is another storage now. */
export async function showAgain(): Promise<void> {
  const id = opening;
  opening = "";
  openVisit.value = null;
  if (id !== "") await showVisit(id);
}

whenTabsTell((id) => {
  const visit = openVisit.peek();
  if (visit?.id === id) void visit.refold().catch(() => undefined);
});
