/** What stands in the way of sending, why, and what the person can do about each. */

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { PlainId } from "../../../shared/said";
import type { SyncIssue, SyncIssueKind } from "../../../store/exchange/sync-issues";
import { appUpdate, syncState } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { RefusedEntry } from "./refused-entry";
import { RefusedPhotos } from "./refused-photos";
import { TryAgain } from "./try-again";

import "./sync-issues.css";

function AppTooOld({ save }: { save: ComponentChildren }) {
  const [isNone, setNone] = useState(false);
  return (
    <div class="needs">
      <p class="wrong">{text("phone-issue-app-old")}</p>
      {isNone && <p role="status">{text("phone-issue-app-none")}</p>}
      <button
        type="button"
        class="button"
        onClick={() => void appUpdate.find().then((isThere) => setNone(!isThere))}
      >
        {text("phone-issue-app-update")}
      </button>
      {save}
    </div>
  );
}

const SENTENCES: Partial<Record<SyncIssueKind, PlainId>> = {
  server_too_old: "phone-issue-server-old",
  batch: "phone-issue-batch",
  phone: "phone-issue-phone",
};

function Issue({ issue, save }: { issue: SyncIssue; save: ComponentChildren }) {
  if (issue.kind === "entry") return <RefusedEntry issue={issue} save={save} />;
  if (issue.kind === "app_too_old") return <AppTooOld save={save} />;
  return (
    <div class="needs">
      <p class="wrong">{text(SENTENCES[issue.kind] ?? "phone-issue-server")}</p>
      {issue.kind !== "server_too_old" && <p>{say(issue.said)}</p>}
      {issue.kind === "server" && <p>{text("phone-issue-server-kept")}</p>}
      <TryAgain />
      {issue.kind === "phone" && (
        <button type="button" class="button" onClick={() => location.reload()}>
          {text("phone-issue-restart")}
        </button>
      )}
      {issue.kind !== "batch" && save}
    </div>
  );
}

/** Issues that pass by themselves, and those that have a place of their own. */
const ELSEWHERE = ["unreachable", "pair", "photo"];

function shownOf(issues: SyncIssue[]): SyncIssue[] {
  return issues.filter(({ kind }) => !ELSEWHERE.includes(kind));
}

/** Whether the way to save everything to a file stands beside a issue. */
export function offersSaving(issues: SyncIssue[]): boolean {
  return shownOf(issues).some(({ kind }) => kind !== "batch");
}

/** Every issue but the ones that pass by themselves, and pairing, which has its own place. */
export function SyncIssues({ save }: { save: ComponentChildren }) {
  const { issues, refusedPhotos } = syncState.value;
  const shown = shownOf(issues);
  if (shown.length === 0 && refusedPhotos === 0) return null;
  return (
    <section class="issues" aria-labelledby="issues-title">
      <h2 id="issues-title">{text("phone-issue-title")}</h2>
      {shown.map((issue, index) => (
        <Issue
          key={`${issue.kind} ${say(issue.said)}`}
          issue={issue}
          save={index === shown.findIndex(({ kind }) => kind !== "batch") ? save : null}
        />
      ))}
      <RefusedPhotos />
    </section>
  );
}
