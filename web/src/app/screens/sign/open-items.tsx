/** What stands open, what that does to the report, and a choice that nobody makes by chance. */

import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { nextOpen, stagesOf } from "../../visit/walk-order";

import "../../components/controls/choice-buttons.css";
import "./sign.css";

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
  const next = nextOpen(stagesOf(visit), null);
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
