/** What the judge computed from the readings, as far as no reason has said it already. */

import { useState } from "preact/hooks";
import type { Item, ItemJudgment, Rules } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";

/** What stands open; a paint gauge makes a figure for every panel. */
const SHOWN = 4;

/**
 * The sentences of computed facts: a reading stands in its own field, a reason says its fact.
 * What is of the whole stands before what is of a place; the judge's engine keeps no order.
 */
function sentencesOf(item: Item, judged: ItemJudgment, rules: Rules): string[] {
  const typed = new Set((item.readings ?? []).map(({ id }) => id));
  const said = new Set(judged.reasons.map(({ fact }) => fact));
  return (
    Object.entries(judged.facts)
      // what was worked out of a wire stands with the wire
      .filter(([name]) => !/^wire_/.test(name))
      .filter(([name]) => !typed.has(name.split(".")[0] ?? "") && !said.has(name))
      .sort(([a], [b]) => depthOf(a) - depthOf(b) || (a < b ? -1 : 1))
      .map(([, fact]) => say(fact.said, rules))
  );
}

function depthOf(name: string): number {
  return name.split(".").length;
}

export function DerivedFacts({
  item,
  judged,
  rules,
}: {
  item: Item;
  judged: ItemJudgment;
  rules: Rules;
}) {
  const [all, setAll] = useState(false);
  const facts = sentencesOf(item, judged, rules);
  if (facts.length === 0) return null;
  const hidden = facts.length - SHOWN;
  return (
    <div class="worked">
      {(all ? facts : facts.slice(0, SHOWN)).map((text) => (
        <p key={text}>{text}</p>
      ))}
      {hidden > 0 && (
        <button type="button" class="more" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? text("phone-item-less") : text("phone-item-more-facts", { count: hidden })}
        </button>
      )}
    </div>
  );
}
