/** The closing papers of the region: each in hand, missing or not needed, with its photographs. */

import type { ClosingPaper, ClosingRule, Disclosure } from "../../../../shared/contract";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { ScreenFrame } from "../../../components/frame/screen-frame";
import { text } from "../../../text/catalogue";
import { useClosing } from "../../../visit/after/use-leaving";
import { carName } from "../../../visit/items/item-record";
import type { Visit } from "../../../visit/visit";
import { Photos } from "../../ad/photos";
import { itemAddress } from "../../decision/item-links";
import { ToCopy } from "./to-copy";

import "../../../components/photos/item-photos.css";
import "./leaving.css";

const STATES = ["in_hand", "missing", "not_needed"] as const;

export const STATE_WORDS = {
  in_hand: "leaving-paper-in-hand",
  missing: "leaving-paper-missing",
  not_needed: "leaving-paper-not-needed",
} as const;

/** What the law says of this car's odometer. */
function Law({ disclosure: { state, until } }: { disclosure: Disclosure }) {
  if (until === null) return <p class="hint">{text("leaving-odometer-unknown")}</p>;
  const year = { year: String(until) };
  return (
    <p class="hint" data-law={state}>
      {text(state === "exempt" ? "leaving-odometer-exempt" : "leaving-odometer-needed", year)}
    </p>
  );
}

function Paper({
  visit,
  rule,
  paper,
  disclosure,
}: {
  visit: Visit;
  rule: ClosingRule;
  paper: ClosingPaper;
  disclosure: Disclosure | undefined;
}) {
  const start = `papers/${paper.id}`;
  const source = visit.bundle.sources[rule.source];
  const choose = (state: string) =>
    void visit.put([
      { put: `${start}/state`, value: visit.value(`${start}/state`) === state ? null : state },
    ]);
  return (
    <section class="card leaving-paper" data-paper={paper.id} data-state={paper.state || "open"}>
      <h2>{rule.title}</h2>
      <p>{rule.look}</p>
      {rule.form === "odometer" && disclosure !== undefined && <Law disclosure={disclosure} />}
      {source !== undefined && rule.source !== "practice" && <p class="hint">{source.title}</p>}
      <ChoiceButtons
        className="leaving-states"
        label={rule.title}
        options={STATES.map((id) => ({ id, title: text(STATE_WORDS[id]) }))}
        chosen={paper.state}
        onChoose={choose}
      />
      <Photos
        visit={visit}
        under={`${start}/photos`}
        label={text("leaving-paper-photo")}
        shown={paper.photos}
        alt={(number) => text("leaving-paper-photo-of", { title: rule.title, number })}
      />
      <details open={paper.note !== ""}>
        <summary>{text("leaving-paper-note")}</summary>
        <TextField
          id={`paper-${paper.id}`}
          label={text("leaving-paper-note")}
          value={paper.note}
          onRecord={(note) =>
            void visit.put([{ put: `${start}/note`, value: note.trim() || null }])
          }
        />
      </details>
      {rule.check !== undefined && (
        <a href={itemAddress(visit, rule.check)}>{text("leaving-paper-check")}</a>
      )}
    </section>
  );
}

export function Papers({ visit }: { visit: Visit }) {
  const closing = useClosing(visit);
  const rules = visit.bundle.closing ?? [];
  return (
    <ScreenFrame
      title={text("leaving-papers")}
      back={{ screen: "leaving", visit: visit.id, part: null }}
      above={carName(visit)}
    >
      {rules.length === 0 && <p>{text("leaving-papers-older")}</p>}
      {closing !== null && rules.length > 0 && (
        <>
          <p role="status">{text("leaving-papers-open", { count: closing.open })}</p>
          <p class="caution">{text("leaving-papers-state")}</p>
          {closing.papers.map((paper) => {
            const rule = rules.find(({ id }) => id === paper.id);
            return (
              rule !== undefined && (
                <Paper
                  key={paper.id}
                  visit={visit}
                  rule={rule}
                  paper={paper}
                  disclosure={closing.disclosure}
                />
              )
            );
          })}
          <ToCopy visit={visit} />
        </>
      )}
    </ScreenFrame>
  );
}
