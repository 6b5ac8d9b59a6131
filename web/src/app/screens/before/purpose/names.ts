/** What wants and their standings are called. */

import type { WantJudgment } from "../../../../shared/contract";
import { text } from "../../../text/catalogue";
import { argument } from "../../../text/say";
import type { Want } from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";

const STANDINGS = {
  must: { fine: "purpose-met", against: "purpose-not-met", open: "purpose-not-known" },
  leave: { fine: "purpose-not-so", against: "purpose-came-true", open: "purpose-not-known" },
} as const;

export function standingWord({ side, standing }: Pick<WantJudgment, "side" | "standing">): string {
  return text(STANDINGS[side][standing]);
}

/** The checklist's title or one's own words at once; of a check or a figure what the judge says. */
export function wantTitle(visit: Visit, want: Want, judged: WantJudgment | undefined): string {
  const { rules } = visit.bundle;
  const known = rules.wants?.find(({ id }) => id === want.id)?.title ?? want.words;
  if (known !== "") return known;
  return judged === undefined ? "…" : String(argument(judged.title, rules));
}
