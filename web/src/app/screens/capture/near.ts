/** Where in the walk one is: the check on the screen that is looked at, or was answered last. */

import { log, router } from "../../state/this-page";
import type { Near } from "../../visit/captured";
import type { Visit } from "../../visit/visit";

/** Of a stamp: where its device begins. */
const DEVICE_FROM = 22;

/** How far each card is from the middle of the screen, px; 0 for the one that lies over it. */
function distances(): [item: string, px: number, isSeen: boolean][] {
  const middle = innerHeight / 2;
  return [...document.querySelectorAll<HTMLElement>("article[data-item]")].map((card) => {
    const { top, bottom } = card.getBoundingClientRect();
    const px = Math.max(0, top - middle, middle - bottom);
    return [card.dataset.item ?? "", px, bottom > 0 && top < innerHeight];
  });
}

/** The check that this phone recorded something of last. */
async function lastAnswered(visit: Visit): Promise<string | undefined> {
  const { device } = await log.identity.get();
  let last = { at: "", item: undefined as string | undefined };
  for (const [put, { at }] of Object.entries(visit.cells.peek())) {
    const [kind, item] = put.split("/");
    if (kind === "items" && at > last.at && at.slice(DEVICE_FROM) === device) last = { at, item };
  }
  return last.item;
}

/**
 * The check answered last where its card is on the screen, else the card in the middle; on a screen
 * without cards again the check answered last.
 */
export async function whereNow(visit: Visit): Promise<Near> {
  const route = router.route.peek();
  const cards = distances().filter(([, , isSeen]) => isSeen);
  const answered = await lastAnswered(visit);
  const isAnsweredSeen = cards.some(([item]) => item === answered);
  const [middle] = [...cards].sort((a, b) => a[1] - b[1])[0] ?? [];
  const id = isAnsweredSeen ? answered : (middle ?? answered);
  const item = visit.bundle.items.find((one) => one.id === id);
  if (item !== undefined) return { item: item.id, area: item.area, stage: item.stage };
  if (id !== undefined) return { item: id };
  if (route.screen === "area") return { area: route.area };
  return route.screen === "stage" ? { stage: route.stage } : {};
}

/** Every check that something can be put with: one's own findings, then the checklist's. */
export function checksOf(visit: Visit): { id: string; title: string; look: string }[] {
  const own = Object.entries(visit.cells.peek()).flatMap(([put, { value }]) => {
    const [, id = ""] = /^items\/([^/]+\.own-[^/]+)\/text$/.exec(put) ?? [];
    return id === "" || typeof value !== "string" ? [] : [{ id, title: value, look: "" }];
  });
  return [...own, ...visit.bundle.items];
}

export function titleOf(visit: Visit, item: string): string | null {
  return checksOf(visit).find(({ id }) => id === item)?.title ?? null;
}
