/** What the judge says of an item: problems of what was typed, reasons with their source, facts. */

import type { Item, ItemJudgment, Source } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { say } from "../../text/say";
import type { Visit } from "../../visit/visit";
import { DerivedFacts } from "./derived-facts";
import { domId } from "./dom-id";

/** Whether somebody can look it up: a law, a standard, a handbook. */
function isPublished({ status }: Source): boolean {
  return status !== "practice" && status !== "assumption";
}

function sourceOf({ title, section }: Source): string {
  if (section == null || section === "") return text("phone-item-source", { title });
  return text("phone-item-source-section", { title, section });
}

/** To the field of the car's own figure, on the same card. */
function enter(item: Item, path: string): void {
  const card = document.getElementById(`item-${domId(item)}`);
  const field = `input[id^="reading-${path.replace(/[^a-z0-9-]/g, "-")}"]`;
  card?.querySelector<HTMLInputElement>(field)?.focus();
}

/** Of an open check: what somebody claims of it, what of one's wants hangs on it. */
export function isToldBefore(code: string): boolean {
  return code === "claim" || code === "want";
}

/** What is read before anything is answered, the shop's notes on the model too. */
function isAdvice(code: string): boolean {
  return code === "look_first" || isToldBefore(code);
}

/** What the shop's notes say of this place on this model, what is claimed of it and hangs on it. */
export function LookFirst({ visit, judged }: { visit: Visit; judged: ItemJudgment }) {
  const advice = (judged.reasons ?? []).filter(({ code }) => isAdvice(code));
  const said = advice.map((reason) => say(reason.said, visit.bundle.rules));
  return (
    <>
      {said.map((sentence) => (
        <p key={sentence} class="look-first">
          {sentence}
        </p>
      ))}
    </>
  );
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
  const { sources, rules } = visit.bundle;
  // a doubt is asked beside its reading, a contradiction below
  const problems = (judged.problems ?? []).filter(
    ({ code }) => code !== "doubt" && code !== "contradiction",
  );
  const reasons = (judged.reasons ?? []).filter(({ code }) => !isAdvice(code));
  return (
    <div class="reasons">
      {problems.map((problem) => (
        <p key={`${problem.code} ${problem.path ?? ""}`} class="wrong">
          {say(problem.said, rules)}
          {problem.code === "no_figure" && (
            <>
              {" "}
              <button type="button" class="more" onClick={() => enter(item, problem.path)}>
                {text("phone-figure-enter")}
                <span class="visually-hidden">: {item.title}</span>
              </button>
            </>
          )}
        </p>
      ))}
      {reasons.map((reason) => {
        const sentence = say(reason.said, rules);
        const source = sources[reason.source];
        return (
          <p key={`${item.id} ${reason.code} ${sentence}`}>
            {sentence}
            {source !== undefined && isPublished(source) && (
              <span class="source"> {sourceOf(source)}</span>
            )}
          </p>
        );
      })}
      {judged.overruled && judged.measured !== null && (
        <p>{text("phone-item-overruled", { grade: gradeName(judged.measured) })}</p>
      )}
      <DerivedFacts item={item} judged={judged} rules={rules} />
    </div>
  );
}
