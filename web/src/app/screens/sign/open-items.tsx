/** What stands open, what that does to the report, and a choice that nobody makes by chance. */

import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { nextOpen, type Page, stagesOf } from "../../visit/walk-order";

import "../../components/controls/choice-buttons.css";
import "./sign.css";

const WHYS = ["time", "seller", "tools", "weather", "enough"] as const;

/** Why what is left of these pages was left: one reason for each, never one for each item. */
function Left({ visit, pages, title }: { visit: Visit; pages: Page[]; title: string }) {
  const given = new Set(pages.map(({ id }) => visit.text(`about/left_${id}`)));
  return (
    <>
      <h3>{title}</h3>
      <ChoiceButtons
        label={title}
        options={WHYS.map((id) => ({ id, title: text(`phone-sign-left-${id}`) }))}
        chosen={given.size === 1 ? ([...given][0] ?? null) : null}
        onChoose={(value) =>
          void visit.put(pages.map(({ id }) => ({ put: `about/left_${id}`, value })))
        }
      />
    </>
  );
}

export function OpenItems({
  visit,
  count,
  isAccepted,
  problem,
  onAccept,
}: {
  visit: Visit;
  count: number;
  isAccepted: boolean;
  problem: string | null;
  onAccept: (isAccepted: boolean) => void;
}) {
  const stages = stagesOf(visit);
  const left = stages.filter(({ open }) => open.length > 0);
  const next = nextOpen(stages, null, visit.whose.value);
  const coverage = useAssessment(visit)?.coverage.said;
  return (
    <section class="unlooked" aria-labelledby="unlooked-title">
      <h2 id="unlooked-title">{text("phone-sign-unlooked", { count })}</h2>
      {coverage !== undefined && <p>{say(coverage, visit.bundle.rules)}</p>}
      <p>{text("phone-sign-unlooked-means")}</p>
      {problem !== null && <p class="wrong">{problem}</p>}
      {next !== null && (
        <a
          class="button"
          href={address({
            screen: "stage",
            visit: visit.id,
            stage: next.page.id,
            item: next.item.id,
          })}
        >
          {text("phone-sign-go-on")}
        </a>
      )}
      {left.length > 1 && <Left visit={visit} pages={left} title={text("phone-sign-left-all")} />}
      <details class="part">
        <summary>{text("phone-sign-left-each")}</summary>
        {left.map((page) => (
          <Left
            key={page.id}
            visit={visit}
            pages={[page]}
            title={text("phone-sign-left", { title: page.title, count: page.open.length })}
          />
        ))}
      </details>
      <button
        id="seal-unlooked"
        type="button"
        class="choice"
        aria-pressed={isAccepted}
        onClick={() => onAccept(!isAccepted)}
      >
        {text("phone-sign-unlooked-yes", { count })}
      </button>
    </section>
  );
}
