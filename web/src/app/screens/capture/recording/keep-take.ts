/** A recording that is whole, or all that is left of one, becomes a blob and an entry. */

import { inspection, type Json } from "../../../../shared/event";
import { Takes } from "../../../../store/takes";
import type { Page } from "../../../state/page";
import { text } from "../../../text/catalogue";

/** A tab holds this lock as long as it records. */
export function takeLock(take: string): string {
  return `bradawl-take-${take}`;
}

/**
 * Keep what there is of a recording and record it. Every step may be repeated, so a page that dies
 * between two of them loses nothing. Resolves with its hash; null where nothing of it was stored.
 */
export async function keepTake(page: Page, take: string): Promise<string | null> {
  const takes = new Takes(page.store);
  const whole = await takes.whole(take);
  if (whole === null) {
    await takes.forget(take);
    return null;
  }
  const { visit, kind, type, taken, near, item, bytes, length_ms } = whole;
  const card = await page.photos.keep(visit, { bytes, type, thumb: null });
  const value: Json = {
    ...{ kind, caption: "", taken, near, length_ms: Math.round(length_ms) },
    ...{ bytes: bytes.byteLength, type },
    ...(item === undefined ? {} : { item }),
  };
  const put = `media/${card.sha256}`;
  await page.log.append([{ scope: inspection(visit), put, value }]);
  await takes.forget(take);
  const open = page.open.visit.peek();
  if (open?.id === visit) await open.recorded(1, text("phone-recording-kept"));
  else page.onRecorded(1);
  return card.sha256;
}

/** Keep what pages that ended have left of their recordings; what a tab records now is passed over. */
export async function keepLeftTakes(page: Page): Promise<void> {
  for (const take of await new Takes(page.store).left()) {
    await navigator.locks?.request(takeLock(take), { ifAvailable: true }, async (lock) => {
      if (lock !== null) await keepTake(page, take);
    });
  }
}
