/** What stands around every screen: title, way back, the state of sync; alarm and notice. */

import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { address, type Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import { AlarmBar, JudgeBar, NoticeBar } from "./message-bars";
import { SyncLine } from "./sync-line";

import "./screen-frame.css";

export function ScreenFrame({
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
    document.title = text("phone-title", { screen: title });
  }, [title]);
  return (
    <>
      <header class="top">
        <div class="top-row">
          {back !== null && (
            <a class="back" href={address(back)}>
              <span class="visually-hidden">{text("phone-back")}</span>
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
