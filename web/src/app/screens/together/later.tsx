/** What two phones show of one another: it comes once a second one has written to the visit. */

import type { Item } from "../../../shared/contract";
import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { open } from "../../state/this-page";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import type { Page } from "../../visit/walk-order";

const parts = lazyParts(async () => {
  const loaded = await import("./together-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

type Loaded = Awaited<typeof import("./together-parts")>;

/** A piece that is there only where a second device wrote. */
function Piece<P extends { visit: Visit }>({ name, props }: { name: keyof Loaded; props: P }) {
  const loaded = parts.use();
  const Shown = loaded?.[name] as ((props: P) => preact.JSX.Element | null) | undefined;
  return Shown ? <Shown {...props} /> : null;
}

function piece<P extends { visit: Visit }>(name: keyof Loaded) {
  return (props: P) => (props.visit.isShared.value ? <Piece name={name} props={props} /> : null);
}

export const StageTaken = piece<{ visit: Visit; page: Page }>("StageTaken");
export const ItemConflicts = piece<{ visit: Visit; item: Item }>("ItemConflicts");
export const UnsettledList = piece<{ visit: Visit }>("UnsettledList");
const NewsOf = piece<{ visit: Visit }>("News");

/** At the head of every screen of a visit. */
export function News() {
  const visit = open.visit.value;
  return visit && <NewsOf visit={visit} />;
}

export function Two({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Two visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-app")} />;
}
