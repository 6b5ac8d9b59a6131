/** The storage is gone under the open app: what that means, and how it goes on. */

import { useEffect, useState } from "preact/hooks";
import { sync, vanished } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { bare } from "../../text/tongues";

import "./storage-gone.css";

function lostSentence(entries: number, photos: number): string {
  if (photos === 0) return text("phone-gone-lost-entries", { entries });
  if (entries === 0) return text("phone-gone-lost-photos", { photos });
  return text("phone-gone-lost-both", { entries, photos });
}

export function StorageGone() {
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    document.title = bare(text("phone-title", { screen: text("phone-gone-title") }));
  }, []);
  if (vanished.value === null) return null;
  const { entries, photos, here } = vanished.value;
  const go = (again: boolean) => {
    setBusy(true);
    void sync.beginAnew(again).finally(() => setBusy(false));
  };
  const isLost = entries + photos + here > 0;
  const count = Math.max(entries, here);
  return (
    <>
      <header class="top">
        <h1>{text("phone-gone-title")}</h1>
      </header>
      <main>
        <div class="alarm gone" role="alert">
          <p>
            <strong>{text("phone-gone-what")}</strong>
          </p>
          <p>{isLost ? lostSentence(count, photos) : text("phone-gone-nothing")}</p>
          {count > 0 && (
            <p>
              {here > 0 ? text("phone-gone-here", { count: here }) : text("phone-gone-here-not")}
            </p>
          )}
          {photos > 0 && <p>{text("phone-gone-photos-lost")}</p>}
        </div>
        <p>{text("phone-gone-next")}</p>
        {here > 0 && (
          <button type="button" class="button" disabled={isBusy} onClick={() => go(false)}>
            {text("phone-gone-without", { count: here })}
          </button>
        )}
      </main>
      <footer class="foot">
        <div class="foot-row">
          <button type="button" class="main" disabled={isBusy} onClick={() => go(here > 0)}>
            {here > 0 ? text("phone-gone-again", { count: here }) : text("phone-gone-on")}
          </button>
        </div>
      </footer>
    </>
  );
}
