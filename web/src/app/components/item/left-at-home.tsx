/** The tools of a check that nobody took along (`load/<tool>`). */

import type { Item } from "../../../shared/contract";
import { catalogue, text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import type { Visit } from "../../visit/visit";

export function LeftAtHome({ visit, item }: { visit: Visit; item: Item }) {
  const left = visit.leftAtHome.value;
  if (left === "") return null;
  const home = left.split(" ");
  const tools = (visit.bundle.rules.items[item.id]?.tools ?? []).filter((id) => home.includes(id));
  if (tools.length === 0) return null;
  const names = listed(tools.map((id) => catalogue.find(`judge-tool-${id}`)));
  return <p class="item-caution">{text("phone-item-left-at-home", { tools: names })}</p>;
}
