/** Checks by name, each a way to its card; more than a few are folded. */

import { text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";
import { itemAddress } from "../../decision/item-links";

const SHOWN = 5;

export interface Listed {
  item: string;
  words: string;
}

function Links({ visit, rows }: { visit: Visit; rows: Listed[] }) {
  return (
    <ul class="reasons-list">
      {rows.map(({ item, words }) => (
        <li key={`${item} ${words}`}>
          {item === "" ? words : <a href={itemAddress(visit, item)}>{words}</a>}
        </li>
      ))}
    </ul>
  );
}

export function ItemList({ visit, rows }: { visit: Visit; rows: Listed[] }) {
  const rest = rows.slice(SHOWN);
  return (
    <>
      <Links visit={visit} rows={rows.slice(0, SHOWN)} />
      {rest.length > 0 && (
        <details>
          <summary>{text("driving-more", { count: rest.length })}</summary>
          <Links visit={visit} rows={rest} />
        </details>
      )}
    </>
  );
}
