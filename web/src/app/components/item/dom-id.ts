/** An item's id as part of an id of the page. */

import type { Item } from "../../../shared/contract";

export function domId(item: Item): string {
  return item.id.replaceAll(".", "-");
}
