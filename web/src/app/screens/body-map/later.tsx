/** What comes when it is looked at: the body map with its outlines, which are no part of a start. */

import type { VNode } from "preact";
import { useEffect, useState } from "preact/hooks";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

type Parts = typeof import("./parts");

let parts: Parts | null = null;

/** The map's parts; null while they come, a sentence where they did not. */
function useParts(): { parts: Parts | null; failed: boolean; again: () => void } {
  const [, redraw] = useState(0);
  const [failed, setFailed] = useState(false);
  const fetchParts = () => {
    setFailed(false);
    import("./parts").then(
      (loaded) => {
        parts = loaded;
        redraw((count) => count + 1);
      },
      () => setFailed(true),
    );
  };
  useEffect(() => {
    if (parts === null) fetchParts();
  }, []);
  return { parts, failed, again: fetchParts };
}

export function BodyMap({ visit, place }: { visit: Visit; place: string | null }) {
  const { parts: loaded, failed, again } = useParts();
  if (loaded !== null) return <loaded.BodyMap visit={visit} place={place} />;
  return (
    <ScreenFrame title={text("phone-walk-map")} back={{ screen: "walk", visit: visit.id }}>
      {failed ? (
        <>
          <p class="wrong" role="alert">
            {text("phone-map-not-loaded")}
          </p>
          <button type="button" onClick={again}>
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
  const { parts: loaded } = useParts();
  return loaded === null ? instead : <loaded.StyleChoice visit={visit} />;
}
