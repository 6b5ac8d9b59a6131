/** Where in the walk one is: the check on the screen that is looked at, or was answered last. */

import { log, router } from "../../state/this-page";
import type { Near } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";

/** Of a stamp: where its device begins. */
const DEVICE_FROM = 22;

interface Seen {
  item: string;
  /** Whether it is opened as a card, and no row. */
  isCard: boolean;
  /** From the middle of the screen; 0 for the one that lies over it. */
  away_px: number;
}

/** The checks on the screen: opened ones first, then those nearest to its middle. */
function seenNow(): Seen[] {
  const middle = innerHeight / 2;
  const seen = [...document.querySelectorAll<HTMLElement>("main [data-item]")].flatMap((shown) => {
    const { top, bottom } = shown.getBoundingClientRect();
    if (bottom <= 0 || top >= innerHeight) return [];
    const away_px = Math.max(0, top - middle, middle - bottom);
    return [{ item: shown.dataset.item ?? "", isCard: shown.classList.contains("card"), away_px }];
  });
  return seen.sort((a, b) => Number(b.isCard) - Number(a.isCard) || a.away_px - b.away_px);
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
 * The check answered last where it is on the screen, else the one that is opened, else the one in the
 * middle; on a screen without checks again the one answered last.
 */
export async function whereNow(visit: Visit): Promise<Near> {
  const route = router.route.peek();
  const seen = seenNow();
  const answered = await lastAnswered(visit);
  const isAnsweredSeen = seen.some(({ item }) => item === answered);
  const id = isAnsweredSeen ? answered : (seen[0]?.item ?? answered);
  const item = visit.item(id);
  if (item !== undefined) return { item: item.id, area: item.area, stage: item.stage };
  if (id !== undefined) return { item: id };
  if (route.screen === "area") return { area: route.area };
  return route.screen === "stage" ? { stage: route.stage } : {};
}

/** Every check that something can be put with: one's own findings, then the checklist's. */
export function checksOf(visit: Visit): { id: string; title: string }[] {
  const own = Object.entries(visit.cells.peek()).flatMap(([put, { value }]) => {
    const [, id = ""] = /^items\/([^/]+\.own-[^/]+)\/text$/.exec(put) ?? [];
    return id === "" || typeof value !== "string" ? [] : [{ id, title: value }];
  });
  return [...own, ...visit.bundle.items];
}

export function titleOf(visit: Visit, item: string): string | null {
  return checksOf(visit).find(({ id }) => id === item)?.title ?? null;
}
