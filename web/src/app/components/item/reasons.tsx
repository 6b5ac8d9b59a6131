/** What the judge says of an item: problems of what was typed, reasons with their source, facts. */

import type { Item, ItemJudgment } from "../../../shared/contract";
import { words } from "../../text/en";
import type { Visit } from "../../visit/visit";
import { DerivedFacts } from "./derived-facts";

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
            {source !== undefined && (
              <span class="source">
                {" "}
                {words.item.source}: {source.title}
                {source.section == null || source.section === "" ? "" : `, ${source.section}`}
              </span>
            )}
          </p>
        );
      })}
      {judged.overruled && judged.measured !== null && (
        <p>{words.item.overruled(words.grade[judged.measured])}</p>
      )}
      <DerivedFacts item={item} judged={judged} />
    </div>
  );
}
