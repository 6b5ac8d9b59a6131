/** A picture becomes a photo of an item, or of nothing yet: prepared, stored, then recorded. */

import type { Json } from "../../../shared/event";
import { message, type Said } from "../../../shared/said";
import { StoreVanished } from "../../../store/database";
import type { Photos } from "../../../store/photos";
import { stampText } from "../../device/local-time";
import { type PhotoIntake, PhotoProblem } from "../../device/photo-intake";
import { type AppState, writeFailure } from "../../state/app-state";
import { text } from "../../text/catalogue";
import type { Visit } from "../visit";
import type { Near } from "./captured";

export interface PhotoExtra {
  /** As typed, or a chip. */
  caption?: Json;
  /** The place on the car that it shows. */
  place?: string;
  /** Of a photo of nothing yet: that it is one, and where it was taken. */
  kind?: "photo";
  near?: Near;
}

export interface PhotoServices {
  intake: Pick<PhotoIntake, "prepare">;
  photos: Photos;
  state: AppState;
}

/**
 * Prepare, store, then record below a path: `items/ITEM/photos`, or `media`. Resolves with what to
 * say where it did not work.
 */
export async function recordPhoto(
  services: PhotoServices,
  visit: Visit,
  under: string,
  file: Blob,
  extra: PhotoExtra = {},
): Promise<Said | null> {
  const { intake, photos, state } = services;
  try {
    const photo = await intake.prepare(file);
    const card = await photos.keep(visit.id, photo);
    const modified =
      file instanceof File && file.lastModified > 0 ? new Date(file.lastModified) : new Date();
    const { caption = "", ...more } = extra;
    const value = {
      caption,
      taken: photo.taken ?? stampText(modified),
      width: photo.width,
      height: photo.height,
      bytes: photo.bytes.byteLength,
      type: photo.type,
      ...more,
    };
    const changes = [{ put: `${under}/${card.sha256}`, value: value as unknown as Json }];
    const isPlaceWanted = state.preferences.value.photoPlace && visit.text("about/place") === "";
    if (isPlaceWanted && photo.place !== null) {
      changes.push({ put: "about/place", value: photo.place });
    }
    return (await visit.put(changes, text("phone-photo-added")))
      ? null
      : message("phone-alarm-write");
  } catch (problem) {
    // where the storage is gone, a screen of its own says so
    if (problem instanceof PhotoProblem || problem instanceof StoreVanished) return problem.said;
    const said = writeFailure(problem);
    const again = () => void recordPhoto(services, visit, under, file, extra);
    state.alarm.value = { said, again };
    return said;
  }
}
