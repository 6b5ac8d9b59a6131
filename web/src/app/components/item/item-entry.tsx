/** An item of a list: a row, and the card once somebody opens it. */

import { untracked } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import type { Visit } from "../../visit/visit";
import { domId } from "./dom-id";
import { ItemCard } from "./item-card";
import { asks, ItemRow } from "./item-row";

interface EntryProps {
  visit: Visit;
  item: Item;
  /** Cautions that the person meets here for the first time. */
  fresh: ReadonlySet<string>;
  /** Whether the address leads to it. */
  isWanted: boolean;
}

/** It begins as a card where a link leads to it and where something is asked. */
export function ItemEntry({ visit, item, fresh, isWanted }: EntryProps) {
  const [isCard, setCard] = useState(() => isWanted || untracked(() => asks(visit, item)));
  useEffect(() => {
    if (isWanted) setCard(true);
  }, [isWanted]);
  const turn = (toCard: boolean) => {
    setCard(toCard);
    // what was tapped is gone: whoever goes by keys or ears stands at the same item
    requestAnimationFrame(() => {
      document.getElementById(`title-${domId(item)}`)?.focus({ preventScroll: true });
    });
  };
  if (!isCard) return <ItemRow visit={visit} item={item} fresh={fresh} onOpen={() => turn(true)} />;
  return <ItemCard visit={visit} item={item} fresh={fresh} onFold={() => turn(false)} />;
}
