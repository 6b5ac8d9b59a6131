/** One area: its items as cards, in the order of the checklist, with one way on. */

import { useEffect } from "preact/hooks";
import { stageName } from "../names";
import { Card, Cautions } from "../parts/card";
import { Frame } from "../parts/frame";
import { address } from "../route";
import type { Visit } from "../visit";
import { areasOf, byStage, nextOpen } from "../walk";
import { words } from "../words";
import { carName } from "./walk";

function scrollToItem(item: string): void {
  const card = document.getElementById(`item-${item.replaceAll(".", "-")}`);
  card?.scrollIntoView({ block: "start" });
  card?.querySelector<HTMLElement>("h3")?.focus({ preventScroll: true });
}

export function AreaScreen({
  visit,
  area,
  item,
}: {
  visit: Visit;
  area: string;
  item: string | null;
}) {
  const areas = areasOf(visit);
  const here = areas.find((one) => one.id === area);
  useEffect(() => {
    if (item !== null) scrollToItem(item);
    else window.scrollTo(0, 0);
  }, [area, item]);
  if (here === undefined) return null;
  const next = nextOpen(areas, area);
  const parts = byStage(visit, here.items);
  return (
    <Frame
      title={here.title}
      back={{ screen: "walk", visit: visit.id }}
      above={`${carName(visit)} · ${here.items.length - here.open.length} / ${here.items.length}`}
      foot={
        next === null ? (
          <a class="button main" href={address({ screen: "seal", visit: visit.id })}>
            {words.walk.allDone}
          </a>
        ) : next.area.id === area ? (
          <a
            class="button main"
            href={address({ screen: "area", visit: visit.id, area, item: next.item.id })}
            onClick={() => scrollToItem(next.item.id)}
          >
            {words.walk.nextItem(next.item.title)}
          </a>
        ) : (
          <a
            class="button main"
            href={address({
              screen: "area",
              visit: visit.id,
              area: next.area.id,
              item: next.item.id,
            })}
          >
            {words.area.nextArea(next.area.title)}
          </a>
        )
      }
    >
      {parts.map(({ stage, items }) => (
        <section key={stage} aria-label={stageName(stage)}>
          <h2 class="stage">{stageName(stage)}</h2>
          <Cautions
            visit={visit}
            ids={[...new Set(items.flatMap((one) => one.cautions ?? []))].sort()}
            whole={true}
          />
          {items.map((one) => (
            <Card key={one.id} visit={visit} item={one} />
          ))}
        </section>
      ))}
    </Frame>
  );
}
