/** The three honest states of sync, in words; a shape beside them, color last. */

import type { SyncState } from "../../../store/exchange/sync";
import type { SyncIssueKind } from "../../../store/exchange/sync-issues";
import { address } from "../../state/routes";
import { isAlone, syncState } from "../../state/this-page";
import { catalogue, text } from "../../text/catalogue";
import { ago } from "../../text/formats";

import "./sync-line.css";

/** From this age on, what is unsent is spoken of with its age: the browser may not keep it for ever. */
const OLD_MS = 24 * 3_600_000;

const SHOWN: Partial<Record<SyncIssueKind, string>> = {
  pair: "pair",
  app_too_old: "outdated",
  server_too_old: "outdated",
};

function sentenceOf(state: SyncState): string {
  const [trouble] = state.issues;
  const count = state.unsentEvents + state.unsentPhotos;
  // with nothing to send there is nothing to pair for; without a server, nowhere to send to
  if (isAlone || (trouble?.kind === "pair" && count === 0)) return text("phone-sync-phone");
  if (trouble !== undefined && trouble.kind !== "unreachable") {
    return catalogue.find(`phone-sync-issue-${trouble.kind.replaceAll("_", "-")}`);
  }
  if (state.where === "server") return text("phone-sync-server");
  if (state.where === "sending") {
    const { sent, total } = state;
    return text("phone-sync-sending", { number: Math.min(sent + 1, total), total });
  }
  if (state.oldest !== null && Date.now() - state.oldest > OLD_MS) {
    return text("phone-sync-old", { count, age: ago(state.oldest) });
  }
  return count > 0 ? text("phone-sync-unsent", { count }) : text("phone-sync-phone");
}

export function SyncLineOf({ state }: { state: SyncState }) {
  const [trouble] = state.issues;
  const unsent = state.unsentEvents + state.unsentPhotos;
  const isInTheWay = trouble !== undefined && trouble.kind !== "unreachable";
  const shown = isInTheWay ? (SHOWN[trouble.kind] ?? "refused") : state.where;
  return (
    <a
      class="sync"
      data-state={shown}
      data-unsent={unsent}
      href={address({ screen: shown === "pair" ? "pair" : "storage" })}
    >
      {/* two tags, this phone's and the server's; a blank one has nothing of it yet */}
      <svg class="sync-mark" viewBox="0 0 30 14" aria-hidden="true">
        <path d="M4 2H11V9L8 12H1V5Z" />
        {state.where !== "phone" && <path class="arrow" d="M13.5 4.5L17 7L13.5 9.5Z" />}
        <path d="M22 2H29V9L26 12H19V5Z" class={state.where === "server" ? "full" : "empty"} />
      </svg>
      <span role="status">{sentenceOf(state)}</span>
    </a>
  );
}

export function SyncLine() {
  return <SyncLineOf state={syncState.value} />;
}
