/** What stands around every screen: title, way back, the state of sync; alarm and notice. */

import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { News } from "../../screens/together/later";
import { address, type Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import { bare } from "../../text/tongues";
import { CaptureButton } from "../capture/capture-button";
import { AlarmBar, JudgeBar, NoticeBar } from "./message-bars";
import { SyncLine } from "./sync-line";

import "./screen-frame.css";

/** From any screen of a visit to the drawn car. */
function ToMap({ visit, title }: { visit: string; title: string }) {
  if (title === text("phone-walk-map")) return null;
  return (
    <a class="to-map" href={address({ screen: "map", visit, place: null })}>
      <span class="visually-hidden">{text("phone-walk-map")}</span>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        {/* the car from its left, nose to the left, as the map draws it */}
        <path d="M1 16V12.6L5 11L8.6 7H15L18.8 11L23 12V16H20.9A2.9 2.9 0 0 0 15.1 16H8.9A2.9 2.9 0 0 0 3.1 16ZM9.4 8.6L7.3 11H11.3V8.6ZM12.9 8.6V11H16.6L14.3 8.6ZM4.2 16.2A1.8 1.8 0 1 0 7.8 16.2A1.8 1.8 0 1 0 4.2 16.2ZM16.2 16.2A1.8 1.8 0 1 0 19.8 16.2A1.8 1.8 0 1 0 16.2 16.2Z" />
      </svg>
    </a>
  );
}

/** From any screen of a visit to a search over its checks. */
function ToFind({ visit, title }: { visit: string; title: string }) {
  if (title === text("phone-find-title")) return null;
  return (
    <a class="to-find" href={address({ screen: "find", visit, shows: "", words: "", at: null })}>
      <span class="visually-hidden">{text("phone-find")}</span>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M10 4a6 6 0 1 0 0 12a6 6 0 1 0 0-12M14.5 14.5L21 21" />
      </svg>
    </a>
  );
}

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
    document.title = bare(text("phone-title", { screen: title }));
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
          {back !== null && "visit" in back && (
            <>
              <ToFind visit={back.visit} title={title} />
              <ToMap visit={back.visit} title={title} />
            </>
          )}
        </div>
        <div class="sync-row">
          <SyncLine />
          <News />
        </div>
        <AlarmBar />
        <JudgeBar />
      </header>
      <main>{children}</main>
      <footer class="foot">
        <NoticeBar />
        <div class="foot-row">
          {foot}
          <CaptureButton />
        </div>
      </footer>
    </>
  );
}
