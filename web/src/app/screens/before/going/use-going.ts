/** What the judge makes of what was said and typed before one goes; each change asks it anew. */

import { type Inputs, useEffect, useState } from "preact/hooks";
import type { HaulPlan, LoadLine } from "../../../../shared/contract";
import { type Judge, JudgeProblem } from "../../../device/judge";
import type { Visit } from "../../../visit/visit";

/** The answer to a question, null until there is one; it is asked anew when an input changes. */
function useAnswer<T>(
  visit: Visit,
  inputs: Inputs,
  ask: (judge: Judge) => Promise<T | null>,
): T | null {
  const [found, setFound] = useState<T | null>(null);
  useEffect(() => {
    let isLatest = true;
    const { forVisit, problem } = visit.services.judges;
    const asked = async () => {
      await forVisit.withRules(visit.bundle);
      await forVisit.withTrouble();
      return ask(forVisit);
    };
    asked().then(
      (answer) => isLatest && setFound(() => answer),
      (failed) => {
        if (!(failed instanceof JudgeProblem)) throw failed;
        problem.value = failed.said;
      },
    );
    return () => {
      isLatest = false;
    };
  }, [visit, ...inputs]);
  return found;
}

/** The lines of the load list; null while the judge has not spoken. */
export function useLoad(visit: Visit): LoadLine[] | null {
  const [cells, assessment] = [visit.besideItems(), visit.assessment.value];
  return useAnswer(visit, [cells, assessment], async (judge) => {
    if (assessment === null) return null;
    const asked = Object.entries(assessment.items).filter(([, judged]) => judged.asked);
    const states = Object.fromEntries(asked.map(([item, { state }]) => [item, state]));
    const { hash: bundle, load: rows = [] } = visit.bundle;
    return (await judge.ask({ ask: "load_list", bundle, cells, states, rows })).lines;
  });
}

/** What the haul plan comes to; null while the judge has not spoken. */
export function useHaul(visit: Visit): HaulPlan | null {
  const cells = visit.besideItems();
  return useAnswer(visit, [cells], async (judge) => {
    const figures = visit.bundle.haul;
    if (figures === undefined) return null;
    return (await judge.ask({ ask: "haul", cells, figures })).plan;
  });
}
