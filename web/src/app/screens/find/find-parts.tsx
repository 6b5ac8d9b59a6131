/** Find: a search over everything of the visit, and lists of what is left, each row a way there. */

import { computed, untracked } from "@preact/signals";
import { useEffect, useMemo, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { address, type Found, type Route } from "../../state/routes";
import { log, router } from "../../state/this-page";
import { catalogue, type Files, type Patterns, text } from "../../text/catalogue";
import { readingsOf, synonymsIn } from "../../text/synonyms";
import { WordIndex } from "../../text/word-index";
import { findables, type Target } from "../../visit/find/finding";
import { Narrowed, type Narrowing, narrowingIn, shownBy } from "../../visit/find/narrowing";
import { carName } from "../../visit/items/item-record";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { recordRest, restOf } from "../../visit/walk-order";
import { Filters } from "./filters";
import { ResultRow, rowId } from "./results";

import "../../../style/rows.css";
import "./find.css";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/find.ftl",
  { import: "default" },
);

/** A pause in typing after which the address follows. */
const PAUSE_MS = 400;
/** More results than these nobody reads with dirty hands; the words are made longer instead. */
const MOST_SHOWN = 60;

interface Props extends Found {
  visit: Visit;
  at: string | null;
}

/** What is typed at once, and in the address when typing pauses. */
function useWords({ visit, shows, words, at }: Props): [string, (typed: string) => void] {
  const [typed, setTyped] = useState(words);
  useEffect(() => {
    if (typed === words) return;
    const turn = () => router.turn({ screen: "find", visit: visit.id, shows, words: typed, at });
    const timer = setTimeout(turn, PAUSE_MS);
    return () => clearTimeout(timer);
  }, [typed, shows]);
  return [typed, setTyped];
}

/** This phone's own device; "" until it is read. */
function useDevice(): string {
  const [device, setDevice] = useState("");
  useEffect(() => void log.identity.get().then((own) => setDevice(own.device)), []);
  return device;
}

/** What stands in the list, and how many each choice would leave. */
interface Shown {
  targets: [string, Target][];
  items: Item[];
  narrowed: Narrowed;
  /** The checks that the words find; all of them without words. */
  pool: Item[];
}

/** Everything of the visit, by its words and by what people call it. */
function searched(visit: Visit) {
  const { entries, targets } = findables(visit);
  const index = new WordIndex(entries);
  const synonyms = synonymsIn(catalogue.lines("find-synonyms"));
  const find = (words: string) =>
    index.find(words, (typed, isSlipLooked) => readingsOf(typed, synonyms, isSlipLooked));
  return { find, targets };
}

/** The checks and own findings that the words find, the best first. */
export function checksBy(visit: Visit, words: string): { id: string; title: string }[] {
  const { find, targets } = untracked(() => searched(visit));
  return find(words).flatMap((id) => {
    const target = targets.get(id);
    return target !== undefined && "item" in target ? [{ id, title: target.item.title }] : [];
  });
}

/** What is searched: made when somebody types, and anew when the record has changed. */
function useIndex(visit: Visit) {
  return useMemo(
    () =>
      computed(() => {
        void visit.drawn.value;
        return untracked(() => searched(visit));
      }),
    [visit],
  );
}

type Index = ReturnType<typeof useIndex>["value"];

function shownOf(
  visit: Visit,
  by: Narrowing,
  words: string,
  device: string,
  search: () => Index,
): Shown {
  const narrowed = new Narrowed(visit, by, device);
  if (words.trim() === "") {
    const pool = inOrder(visit);
    const items = narrowed.of(pool);
    const targets = items.map((item): [string, Target] => [item.id, { kind: "item", item }]);
    return { targets, items, narrowed, pool };
  }
  const { find, targets } = search();
  const found = find(words).flatMap((id): [string, Target][] => {
    const target = targets.get(id);
    return target === undefined ? [] : [[id, target]];
  });
  const pool = found.flatMap(([, target]) => (target.kind === "item" ? [target.item] : []));
  const items = narrowed.of(pool);
  const isWhole = by.state === null && !by.safety && by.area === "" && by.stage === "";
  const among = new Set(items);
  const kept = found.filter(([, target]) =>
    target.kind === "item" ? among.has(target.item) : isWhole,
  );
  return { targets: kept, items, narrowed, pool };
}

/** All checks in the order of the walk. */
function inOrder(visit: Visit): Item[] {
  const stages = visit.bundle.stages.map(({ id }) => id);
  return [...visit.bundle.items].sort((a, b) => stages.indexOf(a.stage) - stages.indexOf(b.stage));
}

/** Where a check stands: the page of its step of the walk, from which back leads here. */
function routeOf(visit: Visit, item: Item, found: Found): Route {
  return { screen: "stage", visit: visit.id, stage: item.stage, item: item.id, found };
}

/** Scroll to the row where somebody was; where it is gone, to what follows in its place. */
function useReturn(visit: Visit, at: string | null, shown: Shown): void {
  useEffect(() => {
    if (at === null) return;
    const order = inOrder(visit).map(({ id }) => id);
    const next = shown.items.find(({ id }) => order.indexOf(id) >= order.indexOf(at));
    const row = document.getElementById(rowId(next?.id ?? at));
    row?.scrollIntoView({ block: "center" });
    row?.focus({ preventScroll: true });
  }, [at]);
}

/** One tap for what is left of an area or a step, but never for what can hurt somebody. */
function Rest({ visit, items }: { visit: Visit; items: Item[] }) {
  const rest = restOf(items);
  const kept = items.length - rest.length;
  if (rest.length < 2) return null;
  return (
    <div class="rest">
      <button type="button" onClick={() => void recordRest(visit, rest)}>
        {text("phone-rest-button", { count: rest.length })}
      </button>
      {kept > 0 && <p class="hint">{text("phone-rest-kept", { count: kept })}</p>}
    </div>
  );
}

export function FindScreen(props: Props) {
  const { visit, shows, at } = props;
  const [typed, setTyped] = useWords(props);
  const device = useDevice();
  const index = useIndex(visit);
  useAssessment(visit);
  const isSearched = typed.trim() !== "";
  const chosen = narrowingIn(shows);
  const by = { ...chosen, state: chosen.state ?? (isSearched ? null : "left") } as Narrowing;
  const shown = useMemo(
    () =>
      computed(() => {
        void visit.drawn.value;
        return untracked(() => shownOf(visit, by, typed, device, () => index.value));
      }),
    [visit, shows, typed, device],
  ).value;
  useReturn(visit, at, shown);
  const found = { shows, words: typed };
  const turn = (change: Partial<Narrowing>) =>
    router.turn({
      ...{ screen: "find", visit: visit.id, words: typed, at: null },
      shows: shownBy({ ...chosen, ...change }),
    });
  const first = shown.items[0];
  const isPlaced = by.area !== "" || by.stage !== "";
  const listed = shown.targets.slice(0, isSearched ? MOST_SHOWN : undefined);
  return (
    <ScreenFrame
      title={text("phone-find-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        first !== undefined && (
          <a class="button main" href={address(routeOf(visit, first, found))}>
            {text("phone-walk-next", { title: first.title })}
          </a>
        )
      }
    >
      <div class="field">
        <label for="find">{text("phone-find-field")}</label>
        <input
          id="find"
          type="search"
          enterKeyHint="search"
          autocomplete="off"
          value={typed}
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
      </div>
      <Filters visit={visit} by={by} shown={shown.narrowed} pool={shown.pool} onTurn={turn} />
      <p class="find-count" role="status">
        {text("phone-find-count", { count: shown.items.length })}
      </p>
      {listed.length === 0 && (
        <p class="empty">{text(isSearched ? "phone-find-none" : "phone-find-none-left")}</p>
      )}
      <ul class="rows">
        {listed.map(([id, target]) => (
          <ResultRow
            key={id}
            id={id}
            visit={visit}
            target={target}
            words={typed}
            isAsked={target.kind !== "item" || shown.narrowed.isAsked(target.item)}
            to={(item) => routeOf(visit, item, found)}
          />
        ))}
      </ul>
      {by.state === "left" && !isSearched && isPlaced && <Rest visit={visit} items={shown.items} />}
    </ScreenFrame>
  );
}
