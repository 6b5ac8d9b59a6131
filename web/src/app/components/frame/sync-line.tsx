/** The three honest states of sync, in words; a shape beside them, color last. */

import type { SyncState } from "../../../store/exchange/sync";
import type { SyncIssueKind } from "../../../store/exchange/sync-issues";
import { ago } from "../../device/local-time";
import { address } from "../../state/routes";
import { syncState } from "../../state/this-page";
import { words } from "../../text/en";

import "./sync-line.css";

/** From this age on, what is unsent is spoken of with its age: the browser may not keep it for ever. */
const OLD_MS = 24 * 3_600_000;

const SHOWN: Partial<Record<SyncIssueKind, string>> = {
  pair: "pair",
  app_too_old: "outdated",
  server_too_old: "outdated",
};

export function SyncLineOf({ state }: { state: SyncState }) {
  let text: string = words.sync.server;
  let shown: string = state.where;
  const [trouble] = state.issues;
  if (trouble !== undefined && trouble.kind !== "unreachable") {
    shown = SHOWN[trouble.kind] ?? "refused";
    text = words.sync.issue[trouble.kind];
  } else if (state.where === "sending") {
    text = words.sync.sending(Math.min(state.sent + 1, state.total), state.total);
  } else if (state.where === "phone") {
    const unsent = state.unsentEvents + state.unsentPhotos;
    text = unsent > 0 ? words.sync.phoneUnsent(unsent) : words.sync.phone;
    if (state.oldest !== null && Date.now() - state.oldest > OLD_MS) {
      text = words.sync.phoneOld(unsent, ago(state.oldest));
    }
  }
  return (
    <a
      class="sync"
      data-state={shown}
      data-unsent={state.unsentEvents + state.unsentPhotos}
      href={address({ screen: shown === "pair" ? "pair" : "storage" })}
    >
      <svg class="sync-mark" viewBox="0 0 24 12" aria-hidden="true">
        <circle cx="6" cy="6" r="4.5" />
        <path d={state.where === "phone" ? "" : "M10.5 6 H13.5"} />
        <circle cx="18" cy="6" r="4.5" class={state.where === "server" ? "full" : "empty"} />
      </svg>
      <span role="status">{text}</span>
    </a>
  );
}

export function SyncLine() {
  return <SyncLineOf state={syncState.value} />;
}
