/** The complaint tables of a visit, and what the judge makes of its record for one of them. */

import { useEffect, useState } from "preact/hooks";
import type { Complaint, Symptom } from "../../../shared/contract";
import type { Cells } from "../../../shared/event";
import { type Said, saidOf } from "../../../shared/said";
import { JudgeProblem } from "../../device/judge";
import { today } from "../../device/local-time";
import type { Complaints } from "../../state/bundles";
import type { Change, Visit } from "../../visit/visit";

export function useTables(visit: Visit): {
  tables: Complaints | null;
  problem: Said | null;
  again: () => void;
} {
  const [tables, setTables] = useState<Complaints | null>(null);
  const [problem, setProblem] = useState<Said | null>(null);
  const [tries, setTries] = useState(0);
  useEffect(() => {
    let isThere = true;
    setProblem(null);
    visit.services.bundles.complaints(visit.bundle).then(
      (found) => isThere && setTables(found),
      (failed) => isThere && setProblem(saidOf(failed)),
    );
    return () => {
      isThere = false;
    };
  }, [visit, tries]);
  return { tables, problem, again: () => setTries(tries + 1) };
}

/** Everything of a record that a table is judged by. */
export function cellsFor(cells: Cells, symptom: Symptom): Cells {
  const items = new Set<string>();
  for (const { settled = [] } of symptom.tests) {
    for (const { item } of settled) for (const name of [item].flat()) items.add(name);
  }
  for (const { repair = [] } of symptom.causes) {
    for (const name of repair) items.add(name.split("/")[0] ?? "");
  }
  const isOf = (put: string) => {
    const [kind, second = "", third = ""] = put.split("/");
    if (kind === "items") return items.has(second);
    if (kind === "plan") return second === "wants" || (second === "pick" && items.has(third));
    if (kind === "trouble") return second === symptom.id || second === "tools";
    return kind === "car" || kind === "brief" || kind === "about";
  };
  return Object.fromEntries(Object.entries(cells).filter(([put]) => isOf(put)));
}

/** Which table an engine holds: each is sent once. */
const sent = new WeakMap<object, Set<string>>();

async function ready(visit: Visit, symptom: Symptom) {
  const { forTaps } = visit.services.judges;
  await forTaps.withRules(visit.bundle);
  await forTaps.withTrouble();
  const { hash } = visit.bundle;
  return { judge: forTaps, bundle: hash, complaint: symptom.id, today: today() };
}

/** Ask, with the table loaded before; once more where an engine was made anew meanwhile. */
async function asked<Answer>(
  visit: Visit,
  symptom: Symptom,
  question: (known: Awaited<ReturnType<typeof ready>>) => Promise<Answer>,
): Promise<Answer> {
  const known = await ready(visit, symptom);
  const name = `${known.bundle} ${symptom.id}`;
  const load = async () => {
    await known.judge.ask({ ask: "complaint_load", bundle: known.bundle, symptom });
    const held = sent.get(known.judge) ?? new Set();
    sent.set(known.judge, held.add(name));
  };
  if (sent.get(known.judge)?.has(name) !== true) await load();
  try {
    return await question(known);
  } catch (problem) {
    if (!(problem instanceof JudgeProblem)) throw problem;
    await ready(visit, symptom);
    await load();
    return question(known);
  }
}

export async function judged(visit: Visit, symptom: Symptom, cells: Cells): Promise<Complaint> {
  const answer = await asked(visit, symptom, ({ judge, ...known }) =>
    judge.ask({ ask: "complaint", ...known, cells: cellsFor(cells, symptom) }),
  );
  return answer.complaint;
}

/** What to record when a cause was found; with no grade, what takes it back. */
export async function found(
  visit: Visit,
  symptom: Symptom,
  cause: string,
  grade: string,
): Promise<Change[]> {
  const cells = cellsFor(visit.cells.peek(), symptom);
  const answer = await asked(visit, symptom, ({ judge, ...known }) =>
    judge.ask({ ask: "complaint_found", ...known, cause, grade, cells }),
  );
  return answer.puts;
}

/** How a complaint stands, judged anew with each change of the record; null until it is. */
export function useComplaint(visit: Visit, symptom: Symptom): Complaint | null {
  const [complaint, setComplaint] = useState<Complaint | null>(null);
  const cells = visit.cells.value;
  useEffect(() => {
    let isLatest = true;
    judged(visit, symptom, cells).then(
      (seen) => isLatest && setComplaint(seen),
      (problem) => {
        if (!(problem instanceof JudgeProblem)) throw problem;
        visit.services.judges.problem.value = problem.said;
      },
    );
    return () => {
      isLatest = false;
    };
  }, [visit, symptom, cells]);
  return complaint;
}
