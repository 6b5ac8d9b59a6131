/**
 * At the head of each screen, beside the state of sync: who else is here, and what came of them.
 * The place is kept from the moment a second phone is there, so nothing below ever moves.
 */

import { useEffect } from "preact/hooks";
import { address } from "../../state/routes";
import { sync, syncState } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { isOwn } from "../../visit/items/own-findings";
import { type Came, isUnsafe } from "../../visit/together/came";
import { type Together, togetherOf } from "../../visit/together/together";
import type { Visit } from "../../visit/visit";

/** How often the server is asked while a second phone walks the car. */
const ASK_MS = 10_000;

/** What the other finds arrives also while nothing is written here. */
function useAsking(isTwo: boolean): void {
  useEffect(() => {
    if (!isTwo) return;
    const timer = setInterval(() => {
      const isInTheWay = syncState.peek().issues.length > 0;
      if (document.visibilityState === "visible" && !isInTheWay) void sync.now();
    }, ASK_MS);
    return () => clearInterval(timer);
  }, [isTwo]);
}

export function addressOf(visit: Visit, { item }: Came): string {
  if (item === null) return address({ screen: "facts", visit: visit.id });
  if (isOwn(item.id)) return address({ screen: "own", visit: visit.id, item: item.id });
  return address({ screen: "area", visit: visit.id, area: item.area, item: item.id });
}

function namesOf(came: Came[]): string {
  return listed([...new Set(came.map(({ who }) => who))]);
}

function lineOf(together: Together): string {
  const came = together.came.value;
  const [first] = came;
  const people = together.people.value;
  if (first !== undefined && came.length === 1) {
    return text("together-news-one", { who: first.who, said: first.said, title: first.title });
  }
  if (first !== undefined) {
    const [who, count, unsafe] = [namesOf(came), came.length, came.filter(isUnsafe).length];
    return unsafe > 0
      ? text("together-news-unsafe", { who, count, unsafe })
      : text("together-news-many", { who, count });
  }
  if (together.asksName()) return text("together-name-ask");
  const others = people?.others.map((phone) => people.nameOf(phone)) ?? [];
  return text("together-with", { who: listed(others) });
}

export function News({ visit }: { visit: Visit }) {
  const together = togetherOf(visit);
  // read while drawing: a second phone may come
  const isTwo = (together.people.value?.others.length ?? 0) > 0;
  useAsking(isTwo);
  if (!isTwo) return null;
  const came = together.came.value;
  const [only] = came;
  const isOne = only !== undefined && came.length === 1;
  return (
    <a
      class="news"
      data-news={came.length}
      href={isOne ? addressOf(visit, only) : address({ screen: "two", visit: visit.id })}
      onClick={() => isOne && void together.looked()}
    >
      <span role="status">{lineOf(together)}</span>
    </a>
  );
}
