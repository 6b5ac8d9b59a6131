/** Photos as a message takes them: drawn anew, so that nothing of the camera's notes goes along. */

import type { Photos } from "../../../store/photos";

/** The longer side; what messages make of larger ones is beyond us. */
const LONGEST_PX = 1_280;
const QUALITY = 0.82;

/** The bytes of this phone, else the server's; null where neither has them. */
async function stored(photos: Photos, sha256: string): Promise<Blob | null> {
  const own = await photos.bytes(sha256);
  if (own !== null) return new Blob([own.bytes], { type: own.type });
  try {
    const answer = await fetch(`/api/v1/blobs/${sha256}`);
    return answer.ok ? await answer.blob() : null;
  } catch {
    return null; // out of reach
  }
}

/** A photo as a JPEG of a message's size, with its pixels alone; null for one that cannot be had. */
export async function pictureOf(photos: Photos, sha256: string): Promise<Blob | null> {
  const original = await stored(photos, sha256);
  if (original === null) return null;
  try {
    const picture = await createImageBitmap(original);
    const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
    const sheet = document.createElement("canvas");
    sheet.width = Math.round(picture.width * scale);
    sheet.height = Math.round(picture.height * scale);
    sheet.getContext("2d")?.drawImage(picture, 0, 0, sheet.width, sheet.height);
    picture.close();
    return await new Promise((done) => sheet.toBlob(done, "image/jpeg", QUALITY));
  } catch {
    return null; // a kind of picture that this phone cannot draw
  }
}
