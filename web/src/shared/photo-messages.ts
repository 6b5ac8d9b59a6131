/** What goes to the photo worker and what comes back. */

import type { Message } from "./said";

/** `Picture` is the realm's Blob. */
export interface PhotoRequest<Picture> {
  id: number;
  file: Picture;
  /** Longest side, px. */
  target: number;
}

export interface ReadyPhoto {
  bytes: ArrayBuffer;
  type: "image/jpeg" | "image/heic" | "image/png" | "image/webp";
  width: number;
  height: number;
  /** When it was taken, with zone, or null when the file does not say. */
  taken: string | null;
  /** Where, as the file says; for the visit's own place when the person wants it, else unused. */
  place: string | null;
  /** A small JPEG for lists; null when this browser cannot show the picture. */
  thumb: ArrayBuffer | null;
}

export type PhotoAnswer = { id: number; photo: ReadyPhoto } | { id: number; problem: Message };
