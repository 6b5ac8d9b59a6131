/** What to look at next in the minutes left; null while the judge cannot say. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, NextChecks } from "../../shared/contract";
import type { Visit } from "./visit";

export function useNext(
  visit: Visit,
  minutes: string,
  assessment: Assessment | null,
): NextChecks | null {
  const [next, setNext] = useState<NextChecks | null>(null);
  useEffect(() => {
    if (assessment === null) return;
    let isThere = true;
    void visit.next(minutes).then((answer) => {
      if (isThere) setNext(answer);
    });
    return () => {
      isThere = false;
    };
  }, [visit, minutes, assessment]);
  return next;
}
