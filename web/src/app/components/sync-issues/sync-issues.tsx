/** What stands in the way of sending, why, and what the person can do about each. */

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { SyncIssue } from "../../../store/exchange/sync-issues";
import { appUpdate, syncState } from "../../state/this-page";
import { words } from "../../text/en";
import { RefusedEntry } from "./refused-entry";
import { RefusedPhotos } from "./refused-photos";
import { TryAgain } from "./try-again";

import "./sync-issues.css";

const texts = words.syncIssues;

function AppTooOld({ save }: { save: ComponentChildren }) {
  const [isNone, setNone] = useState(false);
  return (
    <div class="needs">
      <p class="wrong">{texts.appOld}</p>
      {isNone && <p role="status">{texts.appNone}</p>}
      <button
        type="button"
        class="button"
        onClick={() => void appUpdate.find().then((isThere) => setNone(!isThere))}
      >
        {texts.appUpdate}
      </button>
      {save}
    </div>
  );
}

function Issue({ issue, save }: { issue: SyncIssue; save: ComponentChildren }) {
  if (issue.kind === "entry") return <RefusedEntry issue={issue} save={save} />;
  if (issue.kind === "app_too_old") return <AppTooOld save={save} />;
  const sentences = { server_too_old: texts.serverOld, batch: texts.batch, phone: texts.phone };
  return (
    <div class="needs">
      <p class="wrong">{sentences[issue.kind as keyof typeof sentences] ?? texts.server}</p>
      {issue.kind !== "server_too_old" && <p>{issue.text}</p>}
      {issue.kind === "server" && <p>{texts.serverKept}</p>}
      <TryAgain />
      {issue.kind === "phone" && (
        <button type="button" class="button" onClick={() => location.reload()}>
          {texts.restart}
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
      <h2 id="issues-title">{texts.title}</h2>
      {shown.map((issue, index) => (
        <Issue
          key={`${issue.kind} ${issue.text}`}
          issue={issue}
          save={index === shown.findIndex(({ kind }) => kind !== "batch") ? save : null}
        />
      ))}
      <RefusedPhotos />
    </section>
  );
}
