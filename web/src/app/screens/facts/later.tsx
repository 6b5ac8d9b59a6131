/** The car's own figures, which come when the car's details are looked at: no part of a start. */

import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./parts"));

export function Profile({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Profile visit={visit} />;
  if (!parts.failed.value) return null;
  return (
    <button type="button" onClick={parts.fetch}>
      {text("phone-alarm-again")}
    </button>
  );
}
