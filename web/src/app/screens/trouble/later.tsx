/** From symptom to cause: screens and words that are no part of a start, and come when looked at. */

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

type Parts = typeof import("./trouble");

const parts = signal<Parts | null>(null);
const failed = signal(false);

function fetchParts(): void {
  failed.value = false;
  import("./trouble")
    .then(async (loaded) => {
      await catalogue.also(loaded.WORDS);
      parts.value = loaded;
    })
    .catch(() => {
      failed.value = true;
    });
}

export function Trouble({ visit, complaint }: { visit: Visit; complaint: string | null }) {
  useEffect(() => {
    if (parts.peek() === null) fetchParts();
  }, []);
  const loaded = parts.value;
  if (loaded !== null) return <loaded.TroubleScreen visit={visit} complaint={complaint} />;
  return (
    <ScreenFrame title={text("phone-walk-trouble")} back={{ screen: "walk", visit: visit.id }}>
      {failed.value ? (
        <>
          <p class="wrong" role="alert">
            {text("phone-trouble-not-loaded")}
          </p>
          <button type="button" onClick={fetchParts}>
            {text("phone-alarm-again")}
          </button>
        </>
      ) : (
        <p role="status">{text("phone-walk-opening")}</p>
      )}
    </ScreenFrame>
  );
}
