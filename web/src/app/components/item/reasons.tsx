/** What the judge says of an item: problems of what was typed, reasons with their source, facts. */

import type { Item, ItemJudgment, Source } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import type { Visit } from "../../visit/visit";
import { DerivedFacts } from "./derived-facts";

function sourceOf({ title, section }: Source): string {
  if (section == null || section === "") return text("phone-item-source", { title });
  return text("phone-item-source-section", { title, section });
}

export function Reasons({
  visit,
  item,
  judged,
}: {
  visit: Visit;
  item: Item;
  judged: ItemJudgment;
}) {
  const sources = visit.bundle.sources;
  const problems = judged.problems ?? [];
  const reasons = judged.reasons ?? [];
  return (
    <div class="reasons">
      {problems.map((problem) => (
        <p key={`${problem.code} ${problem.path ?? ""}`} class="wrong">
          {problem.text}
        </p>
      ))}
      {reasons.map((reason) => {
        const source = reason.source === undefined ? undefined : sources[reason.source];
        return (
          <p key={`${item.id} ${reason.code} ${reason.text}`}>
            {reason.text}
            {source !== undefined && <span class="source"> {sourceOf(source)}</span>}
          </p>
        );
      })}
      {judged.overruled && judged.measured !== null && (
        <p>{text("phone-item-overruled", { grade: gradeName(judged.measured) })}</p>
      )}
      <DerivedFacts item={item} judged={judged} />
    </div>
  );
}
