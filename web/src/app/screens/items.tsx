/** A page of the visit: one area or one stage, its items as cards, and one way on. */

import { computed, type ReadonlySignal, untracked } from "@preact/signals";
import { useEffect, useMemo, useState } from "preact/hooks";
import type { Item } from "../../shared/contract";
import { Card } from "../components/item-card";
import { Frame } from "../components/screen-frame";
import { SignButton } from "../components/seal-status";
import { address, type Route } from "../state/router";
import type { Visit } from "../state/visit";
import {
  areasOf,
  isOpen,
  nextOpen,
  type Page,
  recordRest,
  restOf,
  stagesOf,
} from "../state/walk-order";
import { words } from "../text/en";
import { carName } from "./walk";

type Kind = "area" | "stage";

const NONE_NEW: ReadonlySet<string> = new Set();

/**
 * Cautions that the person meets for the first time in this visit, at the item on this page that
 * bears each first: those of which no item has an answer yet.
 */
function firstMet(visit: Visit, items: Item[]): Map<string, ReadonlySet<string>> {
  const met = new Set(
    visit.items
      .peek()
      .filter((item) => !isOpen(visit, item))
      .flatMap((item) => item.cautions ?? []),
  );
  const found = new Map<string, ReadonlySet<string>>();
  for (const item of items) {
    const fresh = (item.cautions ?? []).filter((id) => !met.has(id));
    for (const id of fresh) met.add(id);
    found.set(item.id, new Set(fresh));
  }
  return found;
}

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

/** Cards that are drawn at once: more than a screen holds. The others follow while one looks. */
const AT_ONCE = 4;

/** How many of a page's cards are drawn so far, beginning with those up to `least`. */
function useDrawn(total: number, least: number): number {
  const [drawn, setDrawn] = useState(Math.max(0, least) + AT_ONCE);
  useEffect(() => {
    if (drawn >= total) return;
    // a piece for each frame: a tap never waits behind a whole page
    const timer = setTimeout(() => setDrawn(drawn + AT_ONCE));
    return () => clearTimeout(timer);
  }, [drawn, total]);
  return drawn;
}

/** The pages as they stand: whoever looks is drawn anew with every answer, so the cards do not. */
type Pages = ReadonlySignal<Page[]>;

function pageOf(all: Page[], id: string): Page | undefined {
  return all.find((page) => page.id === id);
}

function Progress({ visit, id, all }: { visit: Visit; id: string; all: Pages }) {
  const here = pageOf(all.value, id);
  if (here === undefined) return null;
  const done = here.items.length - here.open.length;
  return <>{`${carName(visit)} · ${done} / ${here.items.length}`}</>;
}

/** "Rest in order": how many, and which ones it leaves out. */
function Rest({ visit, id, of, all }: { visit: Visit; id: string; of: string; all: Pages }) {
  const part = pageOf(all.value, id)?.parts.find((one) => one.id === of);
  if (part === undefined) return null;
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

function Next({ visit, kind, id, all }: { visit: Visit; kind: Kind; id: string; all: Pages }) {
  const next = nextOpen(all.value, id);
  if (next === null) return <SignButton visit={visit} />;
  const stay = next.page.id === id;
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
  const all = useMemo(
    () =>
      computed(() => {
        // summed up when the cards are drawn, not before them
        void visit.drawn.value;
        return untracked(() => (kind === "area" ? areasOf(visit) : stagesOf(visit)));
      }),
    [visit, kind],
  );
  // which cards there are; what is answered on them, each shows by itself
  void visit.items.value;
  const here = pageOf(all.peek(), id);
  const there = here !== undefined;
  useEffect(() => {
    if (there && item !== null) scrollToItem(item);
  }, [id, item, there]);
  const ordered = here?.items;
  // worked out once a page: a caution that folded up under the thumb would move what it taps
  const fresh = useMemo(() => untracked(() => firstMet(visit, ordered ?? [])), [visit, id, there]);
  const drawn = useDrawn(ordered?.length ?? 0, ordered?.findIndex((one) => one.id === item) ?? -1);
  if (here === undefined) {
    return (
      <Frame title={carName(visit)} back={{ screen: "walk", visit: visit.id }}>
        <p>{words.walk.nothingHere}</p>
      </Frame>
    );
  }
  const shown = new Set(here.items.slice(0, drawn));
  return (
    <Frame
      title={here.title}
      back={{ screen: "walk", visit: visit.id }}
      above={<Progress visit={visit} id={id} all={all} />}
      foot={<Next visit={visit} kind={kind} id={id} all={all} />}
    >
      {here.parts.map((part) => {
        const cards = part.items.filter((one) => shown.has(one));
        if (cards.length === 0) return null;
        return (
          <section key={part.id} aria-label={part.title} data-part={part.id}>
            <h2 class="stage">{part.title}</h2>
            {cards.map((one) => (
              <Card key={one.id} visit={visit} item={one} fresh={fresh.get(one.id) ?? NONE_NEW} />
            ))}
            {cards.length === part.items.length && (
              <Rest visit={visit} id={id} of={part.id} all={all} />
            )}
          </section>
        );
      })}
    </Frame>
  );
}
