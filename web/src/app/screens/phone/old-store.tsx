/** What lies on this phone is of app 0.1: said, and cleared only when the person says so twice. */

import { useEffect } from "preact/hooks";
import { clearStore } from "../../../store/database";
import { ConfirmButton } from "../../components/controls/confirm-button";
import { words } from "../../text/en";

const texts = words.old;

export function OldStorage() {
  useEffect(() => {
    document.title = `${texts.title} · ${words.app}`;
  }, []);
  return (
    <>
      <header class="top">
        <h1>{texts.title}</h1>
      </header>
      <main>
        <p role="alert">{texts.text}</p>
        <p class="hint">{texts.sure}</p>
        <ConfirmButton
          text={texts.clear}
          sure={texts.yes}
          no={texts.no}
          onSure={async () => {
            await clearStore();
            location.reload();
          }}
        />
      </main>
    </>
  );
}
