/** A page of the visit: one area or one stage, its items as cards, and one way on. */

import { useEffect } from "preact/hooks";
import { Card, Cautions } from "../parts/card";
import { Frame } from "../parts/frame";
import { address, type Route } from "../route";
import type { Visit } from "../visit";
import { areasOf, nextOpen, type Page, type Part, recordRest, restOf, stagesOf } from "../walk";
import { words } from "../words";
import { carName } from "./walk";

type Kind = "area" | "stage";

function route(visit: Visit, kind: Kind, page: string, item: string | null): Route {
  return kind === "area"
    ? { screen: "area", visit: visit.id, area: page, item }
    : { screen: "stage", visit: visit.id, stage: page, item };
}

function scrollToItem(item: string): void {
  const card = document.getElementById(`item-${item.replaceAll(".", "-")}`);
  card?.scrollIntoView({ block: "start" });
  card?.querySelector<HTMLElement>("h3")?.focus({ preventScroll: true });
}

/** "Rest in order": how many, and which ones it leaves out. */
function Rest({ visit, part }: { visit: Visit; part: Part }) {
  const rest = restOf(part.open);
  const kept = part.open.length - rest.length;
  if (rest.length < 2) return null;
  return (
    <div class="rest">
      <button type="button" onClick={() => void recordRest(visit, rest)}>
        {words.rest.button(rest.length)}
        <span class="visually-hidden">: {part.title}</span>
      </button>
      {kept > 0 && <p class="hint">{words.rest.kept(kept)}</p>}
    </div>
  );
}

function Next({ visit, kind, here, all }: { visit: Visit; kind: Kind; here: Page; all: Page[] }) {
  const next = nextOpen(all, here.id);
  if (next === null) {
    return (
      <a class="button main" href={address({ screen: "seal", visit: visit.id })}>
        {words.walk.allDone}
      </a>
    );
  }
  const stay = next.page.id === here.id;
  return (
    <a
      class="button main"
      href={address(route(visit, kind, next.page.id, next.item.id))}
      // the same address twice changes nothing by itself, but the person wants to be there
      onClick={() => stay && scrollToItem(next.item.id)}
    >
      {words.walk.nextItem(stay ? next.item.title : next.page.title)}
    </a>
  );
}

export function PageScreen({
  visit,
  kind,
  id,
  item,
}: {
  visit: Visit;
  kind: Kind;
  id: string;
  item: string | null;
}) {
  const all = kind === "area" ? areasOf(visit) : stagesOf(visit);
  const here = all.find((page) => page.id === id);
  const there = here !== undefined;
  useEffect(() => {
    if (there && item !== null) scrollToItem(item);
  }, [id, item, there]);
  if (here === undefined) return null;
  const done = here.items.length - here.open.length;
  // each caution in full where it first matters on this page; its name stays on every card
  const told = new Set<string>();
  const fresh = (part: Part): string[] => {
    const ids = [...new Set(part.items.flatMap((one) => one.cautions ?? []))].sort();
    const untold = ids.filter((id) => !told.has(id));
    for (const id of untold) told.add(id);
    return untold;
  };
  return (
    <Frame
      title={here.title}
      back={{ screen: "walk", visit: visit.id }}
      above={`${carName(visit)} · ${done} / ${here.items.length}`}
      foot={<Next visit={visit} kind={kind} here={here} all={all} />}
    >
      {here.parts.map((part) => (
        <section key={part.id} aria-label={part.title} data-part={part.id}>
          <h2 class="stage">{part.title}</h2>
          <Cautions visit={visit} ids={fresh(part)} whole={true} />
          {part.items.map((one) => (
            <Card key={one.id} visit={visit} item={one} />
          ))}
          <Rest visit={visit} part={part} />
        </section>
      ))}
    </Frame>
  );
}
