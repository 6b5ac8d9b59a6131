/** The assessment of the whole visit, for a screen that shows it: it is not held back meanwhile. */

import { useEffect } from "preact/hooks";
import type { Assessment } from "../../shared/contract";
import type { Visit } from "./visit";

export function useAssessment(visit: Visit): Assessment | null {
  useEffect(() => visit.watch(), [visit]);
  return visit.assessment.value;
}
