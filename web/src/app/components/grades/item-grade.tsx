/** How an item stands, in a word: the same on its card and in every row that leads to it. */

import type { Item, ItemJudgment } from "../../../shared/contract";
import { shownGrade } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import { GradeWord } from "./grade-mark";

export function ItemGrade({
  visit,
  item,
  judged = visit.judged(item.id),
}: {
  visit: Visit;
  item: Item;
  /** Another judgment than the visit's: of what is only being typed. */
  judged?: ItemJudgment | undefined;
}) {
  const isChosen = typeof visit.value(`items/${item.id}/choice`) === "string";
  return (
    <GradeWord
      grade={judged?.grade ?? shownGrade(visit, item)}
      by={judged?.by ?? null}
      judging={judged === undefined && isChosen}
      isMended={visit.mended.value.has(item.id)}
    />
  );
}
