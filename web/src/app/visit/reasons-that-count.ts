/** What decides, in the order of what it can do: hurt somebody, end the deal, cost money. */

import type { Assessment, Said } from "../../shared/contract";
import { driveNow } from "./standing";

const LIE = "judge-claim-lie-by";

export interface CountingReason {
  item: string;
  said: Said;
}

/** Each check once, by the first reason that names it; those of no check stand as they are. */
export function reasonsThatCount(assessment: Assessment): CountingReason[] {
  const { overruled, answers } = assessment.decision;
  const money = [...(assessment.money.price.arguments ?? [])].sort(
    (one, other) => other.amount - one.amount,
  );
  const all: CountingReason[] = [
    ...driveNow(assessment).reasons.filter(({ seen }) => seen),
    ...overruled,
    // the first answer stands in the verdict
    ...(answers.buy ?? []).slice(1),
    ...money,
  ];
  const known = new Set<string>();
  return all.flatMap(({ item, said }) => {
    // that somebody was told otherwise is more than what is wrong with it
    if (item !== "" && known.has(item) && said.id !== LIE) return [];
    known.add(item);
    return [{ item, said }];
  });
}
