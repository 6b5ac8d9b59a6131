/** Facts of the car, asked at the first check of a page that hangs on them. */

import { untracked } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import { unanswered } from "../../visit/car-facts";
import type { Visit } from "../../visit/visit";
import { FactChoice } from "./fact-choice";
import { takeModel } from "./later";

/** Which check of a page asks for which fact. */
export type Claims = Map<string, string>;

export function Asked({ visit, item, claims }: { visit: Visit; item: Item; claims: Claims }) {
  // worked out once: what was asked stays while the page does, and nothing moves under a thumb
  const [facts] = useState(() =>
    untracked(() => unanswered(visit, item)).filter(({ put }) => {
      if (!claims.has(put)) claims.set(put, item.id);
      return claims.get(put) === item.id;
    }),
  );
  // the shop may know the model, and then nobody need be asked
  useEffect(() => {
    if (facts.length > 0) void takeModel(visit);
  }, [visit]);
  return facts.map((fact) => (
    <FactChoice key={fact.put} visit={visit} fact={fact} isBrief={true} />
  ));
}
