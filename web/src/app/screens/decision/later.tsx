/** The decision comes when it is looked at; a seller's view shows nothing until it is there. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./decision-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Decision({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Decision visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-decide-title")} />;
}

export function Tell({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Tell visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-decide-title")} />;
}

export function Sign({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Sign visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-sign-title")} />;
}

/** No way leads out of it before it is there, least of all to a price. */
export function SellerView() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.SellerView />;
  if (!parts.failed.value) return <main />;
  return (
    <main>
      <button type="button" onClick={parts.fetch}>
        {text("phone-alarm-again")}
      </button>
    </main>
  );
}
