/** What the judge computed from the readings, as far as no reason has said it already. */

import { useState } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { text } from "../../text/catalogue";

/** What stands open; a paint gauge makes a figure for every panel. */
const SHOWN = 4;

/**
 * The sentences of computed facts: a reading stands in its own field, a reason says its fact.
 * What is of the whole stands before what is of a place; the judge's engine keeps no order.
 */
function sentencesOf(item: Item, judged: ItemJudgment): string[] {
  const typed = new Set((item.readings ?? []).map(({ id }) => id));
  const reasons = judged.reasons.map(({ text }) => text);
  return Object.entries(judged.facts)
    .filter(([name]) => !typed.has(name.split(".")[0] ?? ""))
    .sort(([a], [b]) => depthOf(a) - depthOf(b) || (a < b ? -1 : 1))
    .map(([, { text }]) => text)
    .filter((text) => !reasons.some((reason) => reason.startsWith(text.split(" (")[0] ?? text)));
}

function depthOf(name: string): number {
  return name.split(".").length;
}

export function DerivedFacts({ item, judged }: { item: Item; judged: ItemJudgment }) {
  const [all, setAll] = useState(false);
  const facts = sentencesOf(item, judged);
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
