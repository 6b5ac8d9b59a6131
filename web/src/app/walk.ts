/** The order of the walk: areas, and what in it comes next. */

import type { Item } from "../shared/checklist";
import { isOpen } from "./parts/card";
import type { Visit } from "./visit";

export interface AreaOnWalk {
  id: string;
  title: string;
  items: Item[];
  open: Item[];
}

/** Areas in the order of the walk, each with its items that apply to this car. */
export function areasOf(visit: Visit): AreaOnWalk[] {
  const judged = visit.assessment.value?.areas ?? [];
  const order =
    judged.length > 0 ? judged.map(({ area }) => area) : visit.bundle.areas.map(({ id }) => id);
  const titles = new Map(visit.bundle.areas.map(({ id, title }) => [id, title]));
  const missing = visit.bundle.areas.map(({ id }) => id).filter((id) => !order.includes(id));
  return [...order, ...missing]
    .map((id) => {
      const items = visit.items.value.get(id) ?? [];
      return {
        id,
        title: titles.get(id) ?? id,
        items,
        open: items.filter((item) => isOpen(visit, item)),
      };
    })
    .filter((area) => area.items.length > 0);
}

/** The next open item from here on, going round once. */
export function nextOpen(
  areas: AreaOnWalk[],
  from: string | null,
): { area: AreaOnWalk; item: Item } | null {
  const start = Math.max(
    0,
    areas.findIndex((area) => area.id === from),
  );
  for (let step = 0; step < areas.length; step += 1) {
    const area = areas[(start + step) % areas.length];
    const item = area?.open[0];
    if (area !== undefined && item !== undefined) return { area, item };
  }
  return null;
}

/** Items of an area in parts by stage of the visit, in the order of the checklist's stages. */
export function byStage(visit: Visit, items: Item[]): { stage: string; items: Item[] }[] {
  const order = visit.bundle.stages.map((stage) => (typeof stage === "string" ? stage : stage.id));
  const parts = new Map<string, Item[]>();
  for (const item of items) parts.set(item.stage, [...(parts.get(item.stage) ?? []), item]);
  return [...parts.entries()]
    .map(([stage, list]) => ({ stage, items: list }))
    .sort((a, b) => order.indexOf(a.stage) - order.indexOf(b.stage));
}
