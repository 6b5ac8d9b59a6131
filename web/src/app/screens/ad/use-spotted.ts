/** What the words of an ad, or of somebody, seem to claim. */

import { useEffect, useState } from "preact/hooks";
import type { SpottedClaim } from "../../../shared/contract";
import { JudgeProblem } from "../../device/judge";
import type { Visit } from "../../visit/visit";

export function useSpotted(visit: Visit, text: string): SpottedClaim[] {
  const [found, setFound] = useState<SpottedClaim[]>([]);
  useEffect(() => {
    let isLatest = true;
    const { forVisit } = visit.services.judges;
    const ask = async () => {
      await forVisit.withRules(visit.bundle);
      await forVisit.withTrouble();
      return (await forVisit.ask({ ask: "spotted", bundle: visit.bundle.hash, text })).claims;
    };
    if (text.trim() === "") setFound([]);
    else {
      ask().then(
        (claims) => isLatest && setFound(claims),
        (problem) => {
          // nothing is suggested; claims can be typed all the same
          if (!(problem instanceof JudgeProblem)) throw problem;
          visit.services.judges.problem.value = problem.said;
        },
      );
    }
    return () => {
      isLatest = false;
    };
  }, [visit, text]);
  return found;
}

/** What a kind of claim is called in the checklist of a visit. */
export function kindTitle(visit: Visit, kind: string): string {
  return visit.bundle.rules.claims?.find(({ id }) => id === kind)?.title ?? kind;
}
