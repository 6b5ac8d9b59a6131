/** Lists whose rows lead to items: the first few at once, the rest one tap away. */

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { isOwn } from "../../visit/items/own-findings";
import type { Visit } from "../../visit/visit";

import "./decision.css";

/** What stands open of a list. */
const SHOWN = 5;

/** The message that counts what is not shown. */
type More = "phone-decide-more-reasons" | "phone-decide-more-items";

export function itemAddress(visit: Visit, item: string): string {
  if (isOwn(item)) return address({ screen: "own", visit: visit.id, item });
  const area = visit.item(item)?.area ?? "";
  return address({ screen: "area", visit: visit.id, area, item });
}

export function titleOf(visit: Visit, item: string): string {
  return visit.item(item)?.title || item;
}

/** The first few of `rows` in a list, and the button that opens the rest. */
export function Shortened<Row>({
  rows,
  more,
  list,
}: {
  rows: Row[];
  more: More;
  list: (rows: Row[]) => ComponentChildren;
}) {
  const [isWhole, setWhole] = useState(false);
  return (
    <>
      {list(isWhole ? rows : rows.slice(0, SHOWN))}
      {rows.length > SHOWN && (
        <button
          type="button"
          class="more"
          aria-expanded={isWhole}
          onClick={() => setWhole(!isWhole)}
        >
          {isWhole ? text("phone-item-less") : text(more, { count: rows.length - SHOWN })}
        </button>
      )}
    </>
  );
}

export function ItemLinks({
  visit,
  rows,
  more,
}: {
  visit: Visit;
  rows: { item: string; text: string }[];
  more: More;
}) {
  return (
    <Shortened
      rows={rows}
      more={more}
      list={(shown) => (
        <ul class="reasons-list">
          {shown.map(({ item, text }) => (
            <li key={`${item} ${text}`}>
              {item === "" ? text : <a href={itemAddress(visit, item)}>{text}</a>}
            </li>
          ))}
        </ul>
      )}
    />
  );
}
