/** What this car's findings make of its drive home, from the judge. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, DrivePlan, Driving } from "../../../../shared/contract";
import { JudgeProblem } from "../../../device/judge";
import type { Visit } from "../../../visit/visit";

/** Null until the judge has said it. */
export function usePlan(
  visit: Visit,
  driving: Driving | undefined,
  assessment: Assessment | null,
): DrivePlan | null {
  const [plan, setPlan] = useState<DrivePlan | null>(null);
  useEffect(() => {
    if (driving === undefined || assessment === null) return;
    let isLatest = true;
    const { forVisit } = visit.services.judges;
    const items = Object.fromEntries(
      Object.entries(assessment.items).map(([item, { asked, state, grade }]) => [
        item,
        { asked, state, grade },
      ]),
    );
    const ask = async () => {
      await forVisit.withTrouble();
      const now = assessment.now?.grades ?? {};
      return (await forVisit.ask({ ask: "drive_plan", driving, items, now })).plan;
    };
    ask().then(
      (found) => isLatest && setPlan(found),
      (problem) => {
        if (!(problem instanceof JudgeProblem)) throw problem;
        visit.services.judges.problem.value = problem.said;
      },
    );
    return () => {
      isLatest = false;
    };
  }, [visit, driving, assessment]);
  return plan;
}
