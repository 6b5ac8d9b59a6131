/** A page of the visit: one area or one stage, its items as cards, and one way on. */

import { computed, type ReadonlySignal, untracked } from "@preact/signals";
import { Fragment } from "preact";
import { useEffect, useMemo, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { NO_CAUTIONS } from "../../components/item/item-card";
import { ItemEntry } from "../../components/item/item-entry";
import { SignButton } from "../../components/seal/seal-status";
import { address, type Found, type Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import {
  areasOf,
  canHurt,
  isOpen,
  nextOpen,
  type Page,
  type Part,
  recordRest,
  recordUnproved,
  restOf,
  stagesOf,
  unprovedOf,
} from "../../visit/walk-order";

import { Asked } from "../facts/asked";
import { OwnRows } from "../own/later";

import "../../../style/rows.css";
import "./items.css";

type Kind = "area" | "stage";

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
  const fresh = new Map<string, ReadonlySet<string>>();
  for (const item of items) {
    const ids = (item.cautions ?? []).filter((id) => !met.has(id));
    for (const id of ids) met.add(id);
    fresh.set(item.id, new Set(ids));
  }
  return fresh;
}

function route(
  visit: Visit,
  kind: Kind,
  page: string,
  item: string | null,
  found: { found?: Found } = {},
): Route {
  return kind === "area"
    ? { screen: "area", visit: visit.id, area: page, item, ...found }
    : { screen: "stage", visit: visit.id, stage: page, item, ...found };
}

function scrollToItem(item: string): void {
  const card = document.getElementById(`item-${item.replaceAll(".", "-")}`);
  card?.scrollIntoView({ block: "start" });
  card?.querySelector<HTMLElement>("h3")?.focus({ preventScroll: true });
}

/** Rows and cards that are drawn at once: a screen full. The others follow while one looks. */
const AT_ONCE = 8;

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

/** At the end of a page, whose every row was read: the rest of it in order, and what that leaves out. */
function Rest({ visit, id, all }: { visit: Visit; id: string; all: Pages }) {
  const page = pageOf(all.value, id);
  if (page === undefined) return null;
  const rest = restOf(page.open);
  const unproved = unprovedOf(page.open);
  const kept = page.open.filter(canHurt).length;
  return (
    <div class="rest">
      {unproved.length > 1 && (
        <button type="button" onClick={() => void recordUnproved(visit, unproved)}>
          {text("phone-rest-unproved", { count: unproved.length })}
        </button>
      )}
      {rest.length > 1 && (
        <>
          <button type="button" onClick={() => void recordRest(visit, rest)}>
            {text("phone-rest-button", { count: rest.length })}
            <span class="visually-hidden">: {page.title}</span>
          </button>
          {kept > 0 && <p class="hint">{text("phone-rest-kept", { count: kept })}</p>}
        </>
      )}
    </div>
  );
}

interface NextProps {
  visit: Visit;
  kind: Kind;
  id: string;
  all: Pages;
  found: { found?: Found };
}

function Next({ visit, kind, id, all, found }: NextProps) {
  const next = nextOpen(all.value, id, kind === "stage" ? visit.whose.value : {});
  if (next === null) return <SignButton visit={visit} />;
  const isHere = next.page.id === id;
  return (
    <a
      class="button main"
      href={address(route(visit, kind, next.page.id, next.item.id, found))}
      // the same address twice changes nothing by itself, but the person wants to be there
      onClick={() => isHere && scrollToItem(next.item.id)}
    >
      {text("phone-walk-next", { title: isHere ? next.item.title : next.page.title })}
    </a>
  );
}

/** What else could be looked at here: a tap has it asked. */
function More({ visit, kind, here }: { visit: Visit; kind: Kind; here: Page }) {
  if (here.more.length === 0) return null;
  return (
    <details class="part" open={here.items.length === 0} data-more={here.id}>
      <summary>{text("phone-walk-more", { count: here.more.length })}</summary>
      <ul class="rows">
        {here.more.map(({ id, title }) => (
          <li key={id}>
            <a class="row" href={address(route(visit, kind, here.id, id))}>
              <span class="row-title">{title}</span>
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}

/** All pages of the visit, summed up when the cards are drawn, not before them. */
function usePages(visit: Visit, kind: Kind): Pages {
  return useMemo(
    () =>
      computed(() => {
        void visit.drawn.value;
        return untracked(() => (kind === "area" ? areasOf(visit) : stagesOf(visit)));
      }),
    [visit, kind],
  );
}

export function Items({
  visit,
  kind,
  id,
  item,
  found,
}: {
  visit: Visit;
  kind: Kind;
  id: string;
  item: string | null;
  /** The list that led here, to which the way back leads. */
  found?: Found;
}) {
  const all = usePages(visit, kind);
  // which cards there are; what is answered on them, each shows by itself
  void visit.items.value;
  void visit.unasked.value;
  // a link to an item that the visit does not ask for has it shown
  if (item !== null) untracked(() => visit.pull(item));
  const listed = found === undefined ? {} : { found };
  const back: Route =
    found === undefined
      ? { screen: "walk", visit: visit.id }
      : { screen: "find", visit: visit.id, ...found, at: item };
  const here = pageOf(all.peek(), id);
  const isThere = here !== undefined;
  useEffect(() => {
    if (isThere && item !== null) scrollToItem(item);
  }, [id, item, isThere]);
  const items = here?.items ?? [];
  // worked out once a page: a caution that folded up under the thumb would move what it taps
  const fresh = useMemo(() => untracked(() => firstMet(visit, items)), [visit, id, isThere]);
  const claims = useMemo(() => new Map<string, string>(), [visit, id]);
  const drawn = useDrawn(
    items.length,
    items.findIndex((candidate) => candidate.id === item),
  );
  if (here === undefined) {
    return (
      <ScreenFrame title={carName(visit)} back={back}>
        <p>{text("phone-walk-nothing-here")}</p>
      </ScreenFrame>
    );
  }
  const shown = new Set(items.slice(0, drawn));
  return (
    <ScreenFrame
      title={here.title}
      back={back}
      above={<Progress visit={visit} id={id} all={all} />}
      foot={<Next visit={visit} kind={kind} id={id} all={all} found={listed} />}
    >
      {here.parts.map((part) => (
        <ItemsPart
          key={part.id}
          visit={visit}
          part={part}
          shown={shown}
          fresh={fresh}
          claims={claims}
          wanted={item}
        />
      ))}
      {shown.size === items.length && <Rest visit={visit} id={id} all={all} />}
      <OwnRows visit={visit} kind={kind} page={here} />
      <More visit={visit} kind={kind} here={here} />
    </ScreenFrame>
  );
}

/** The cards of one part that are drawn so far. */
function ItemsPart({
  visit,
  part,
  shown,
  fresh,
  claims,
  wanted,
}: {
  visit: Visit;
  part: Part;
  shown: Set<Item>;
  fresh: Map<string, ReadonlySet<string>>;
  /** Which check asks for which fact of the car. */
  claims: Map<string, string>;
  /** The item that the address names. */
  wanted: string | null;
}) {
  const items = part.items.filter((item) => shown.has(item));
  if (items.length === 0) return null;
  return (
    <section aria-label={part.title} data-part={part.id}>
      <h2 class="stage">{part.title}</h2>
      {items.map((item) => (
        <Fragment key={item.id}>
          <Asked visit={visit} item={item} claims={claims} />
          <ItemEntry
            visit={visit}
            item={item}
            fresh={fresh.get(item.id) ?? NO_CAUTIONS}
            isWanted={item.id === wanted}
          />
        </Fragment>
      ))}
    </section>
  );
}
