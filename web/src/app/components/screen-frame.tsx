/** What stands around every screen: title, way back, the state of sync; alarm and notice. */

import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import type { SyncState } from "../../store/exchange/sync";
import type { TroubleKind } from "../../store/exchange/troubles";
import { judgeTrouble, restartJudge } from "../device/judge-client";
import { ago } from "../device/local-time";
import { alarm, notice, syncState } from "../state/app-state";
import { address, type Route } from "../state/router";
import { words } from "../text/en";

/** From this age on, what is unsent is spoken of with its age: the browser may not keep it for ever. */
const OLD_MS = 24 * 3_600_000;

const SHOWN: Partial<Record<TroubleKind, string>> = {
  pair: "pair",
  app_too_old: "outdated",
  server_too_old: "outdated",
};

/** The three honest states, in words; a shape beside them, colour last. */
export function SyncLineOf({ state }: { state: SyncState }) {
  let text: string = words.sync.server;
  let shown: string = state.where;
  const [trouble] = state.troubles;
  if (trouble !== undefined && trouble.kind !== "unreachable") {
    shown = SHOWN[trouble.kind] ?? "refused";
    text = words.sync.trouble[trouble.kind];
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

function SyncLine() {
  return <SyncLineOf state={syncState.value} />;
}

function AlarmBar() {
  const now = alarm.value;
  if (now === null) return null;
  return (
    <div class="alarm" role="alert">
      <p>
        <strong>{words.alarm.title}.</strong> {now.text}
      </p>
      {now.again !== null && (
        <button type="button" onClick={() => now.again?.()}>
          {words.alarm.again}
        </button>
      )}
    </div>
  );
}

function JudgeBar() {
  if (judgeTrouble.value === null) return null;
  return (
    <div class="trouble" role="status">
      <p>{words.alarm.judge}</p>
      <p class="hint">{judgeTrouble.value}</p>
      <button type="button" onClick={() => void restartJudge().catch(() => undefined)}>
        {words.alarm.restart}
      </button>
    </div>
  );
}

function NoticeBar() {
  const now = notice.value;
  return (
    <div class="notice" role="status" hidden={now === null}>
      {now !== null && (
        <>
          <p>{now.text}</p>
          {now.undo !== null && (
            <button type="button" onClick={() => void now.undo?.()}>
              {words.undo}
            </button>
          )}
        </>
      )}
    </div>
  );
}

export function Frame({
  title,
  back,
  above,
  children,
  foot,
}: {
  title: string;
  back: Route | null;
  above?: ComponentChildren;
  children: ComponentChildren;
  foot?: ComponentChildren;
}) {
  useEffect(() => {
    document.title = `${title} · ${words.app}`;
  }, [title]);
  return (
    <>
      <header class="top">
        <div class="top-row">
          {back !== null && (
            <a class="back" href={address(back)}>
              <span class="visually-hidden">{words.back}</span>
              <svg viewBox="0 0 24 24" aria-hidden="true">
                <path d="M15 4 L7 12 L15 20" />
              </svg>
            </a>
          )}
          <div class="top-text">
            {above !== undefined && <p class="above">{above}</p>}
            <h1>{title}</h1>
          </div>
        </div>
        <SyncLine />
        <AlarmBar />
        <JudgeBar />
      </header>
      <main>{children}</main>
      <footer class="foot">
        <NoticeBar />
        {foot !== undefined && <div class="foot-row">{foot}</div>}
      </footer>
    </>
  );
}
