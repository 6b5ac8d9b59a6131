/** What comes when it is looked at: the body map with its outlines, which are no part of a start. */

import { signal } from "@preact/signals";
import type { VNode } from "preact";
import { useEffect } from "preact/hooks";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

type Parts = typeof import("./parts");

// signals: whoever shows the parts is drawn anew when they come, whoever asked for them
const parts = signal<Parts | null>(null);
const failed = signal(false);

function fetchParts(): void {
  failed.value = false;
  import("./parts").then(
    (loaded) => {
      parts.value = loaded;
    },
    () => {
      failed.value = true;
    },
  );
}

/** The map's parts; null while they come, or where they did not. */
function useParts(): Parts | null {
  useEffect(() => {
    if (parts.peek() === null) fetchParts();
  }, []);
  return parts.value;
}

export function BodyMap({ visit, place }: { visit: Visit; place: string | null }) {
  const loaded = useParts();
  if (loaded !== null) return <loaded.BodyMap visit={visit} place={place} />;
  return (
    <ScreenFrame title={text("phone-walk-map")} back={{ screen: "walk", visit: visit.id }}>
      {failed.value ? (
        <>
          <p class="wrong" role="alert">
            {text("phone-map-not-loaded")}
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

/** The eight pictures; until they are there, what stands in their place. */
export function StyleChoice({ visit, instead }: { visit: Visit; instead: VNode }) {
  const loaded = useParts();
  return loaded === null ? instead : <loaded.StyleChoice visit={visit} />;
}
