/** The storage is gone under the open app: what that means, and how it goes on. */

import { useEffect, useState } from "preact/hooks";
import { vanished } from "../state/app-state";
import { beginAnew } from "../state/sync-schedule";
import { words } from "../text/en";

const texts = words.gone;

export function Gone() {
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    document.title = `${texts.title} · ${words.app}`;
  }, []);
  const now = vanished.value;
  if (now === null) return null;
  const { entries, photos, here } = now;
  const go = (again: boolean) => {
    setBusy(true);
    void beginAnew(again).finally(() => setBusy(false));
  };
  const lost = entries + photos + here > 0;
  const counted = Math.max(entries, here);
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
          <p>{lost ? texts.lost(counted, photos) : texts.nothing}</p>
          {counted > 0 && <p>{here > 0 ? texts.here(here) : texts.hereNot}</p>}
          {photos > 0 && <p>{texts.photosLost}</p>}
        </div>
        <p>{texts.next}</p>
        {here > 0 && (
          <button type="button" class="button" disabled={busy} onClick={() => go(false)}>
            {texts.without(here)}
          </button>
        )}
      </main>
      <footer class="foot">
        <div class="foot-row">
          <button type="button" class="main" disabled={busy} onClick={() => go(here > 0)}>
            {here > 0 ? texts.again(here) : texts.on}
          </button>
        </div>
      </footer>
    </>
  );
}
