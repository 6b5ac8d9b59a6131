/** The storage is gone under the open app: what that means, and how it goes on. */

import { useEffect, useState } from "preact/hooks";
import { sync, vanished } from "../../state/this-page";
import { words } from "../../text/en";

import "./storage-gone.css";

const texts = words.gone;

export function StorageGone() {
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    document.title = `${texts.title} · ${words.app}`;
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
        <h1>{texts.title}</h1>
      </header>
      <main>
        <div class="alarm gone" role="alert">
          <p>
            <strong>{texts.what}</strong>
          </p>
          <p>{isLost ? texts.lost(count, photos) : texts.nothing}</p>
          {count > 0 && <p>{here > 0 ? texts.here(here) : texts.hereNot}</p>}
          {photos > 0 && <p>{texts.photosLost}</p>}
        </div>
        <p>{texts.next}</p>
        {here > 0 && (
          <button type="button" class="button" disabled={isBusy} onClick={() => go(false)}>
            {texts.without(here)}
          </button>
        )}
      </main>
      <footer class="foot">
        <div class="foot-row">
          <button type="button" class="main" disabled={isBusy} onClick={() => go(here > 0)}>
            {here > 0 ? texts.again(here) : texts.on}
          </button>
        </div>
      </footer>
    </>
  );
}
