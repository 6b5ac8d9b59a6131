/** What lies on this phone is of app 0.1: said, and cleared only when the person says so twice. */

import { useEffect } from "preact/hooks";
import { clearStore } from "../../../store/database";
import { ConfirmButton } from "../../components/controls/confirm-button";
import { text } from "../../text/catalogue";
import { bare } from "../../text/tongues";

export function OldStorage() {
  useEffect(() => {
    document.title = bare(text("phone-title", { screen: text("phone-old-title") }));
  }, []);
  return (
    <>
      <header class="top">
        <h1>{text("phone-old-title")}</h1>
      </header>
      <main>
        <p role="alert">{text("phone-old-text")}</p>
        <p class="hint">{text("phone-old-sure")}</p>
        <ConfirmButton
          title={text("phone-old-clear")}
          sure={text("phone-old-yes")}
          onSure={async () => {
            await clearStore();
            location.reload();
          }}
        />
      </main>
    </>
  );
}
