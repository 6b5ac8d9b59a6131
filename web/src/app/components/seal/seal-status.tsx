/** What stands signed, and the main button of a visit that is signed. */

import { useEffect, useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import { JudgeProblem } from "../../device/judge";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { readableDay } from "../../text/formats";
import { countAmendments } from "../../visit/sealing";
import type { Visit } from "../../visit/visit";

import "./seal-status.css";

export function sealSentence(value: Record<string, Json>): string {
  const { date } = value.at as { date: string };
  return text("phone-sign-signed", { name: String(value.name), date: readableDay(date) });
}

/** How many entries the last seal does not cover: by this screen, another tab or a sync. */
export function useAmendments(visit: Visit): number {
  const [count, setCount] = useState(0);
  const cells = visit.cells.value;
  useEffect(() => {
    void cells;
    void countAmendments(visit).then(setCount, (problem) => {
      if (!(problem instanceof JudgeProblem)) throw problem;
    });
  }, [visit, cells]);
  return count;
}

/** When nothing is left to look at: sign, sign again, or see what it comes to. */
export function SignButton({ visit }: { visit: Visit }) {
  const amendments = useAmendments(visit);
  const isSigned = visit.seals().length > 0;
  if (isSigned && amendments === 0) {
    return (
      <a class="button main" href={address({ screen: "kerb", visit: visit.id })}>
        {text("phone-walk-signed")}
      </a>
    );
  }
  return (
    <a class="button main" href={address({ screen: "seal", visit: visit.id })}>
      {isSigned
        ? text("phone-walk-sign-again", { count: amendments })
        : text("phone-walk-all-done")}
    </a>
  );
}
