/** What to look at next in the minutes left; null while the judge cannot say. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, NextChecks } from "../../shared/contract";
import type { Visit } from "./visit";

/** What lies in somebody else's stage comes last: they are at it. */
function inTurn(visit: Visit, items: NextChecks["items"]): NextChecks["items"] {
  const stages = new Map(visit.bundle.items.map(({ id, stage }) => [id, stage]));
  const turn = ({ item }: { item: string }) => visit.whose.peek()[stages.get(item) ?? ""] ?? 0;
  return [...items].sort((one, other) => turn(one) - turn(other));
}

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
      if (isThere) setNext(answer && { ...answer, items: inTurn(visit, answer.items) });
    });
    return () => {
      isThere = false;
    };
  }, [visit, minutes, assessment]);
  return next;
}
