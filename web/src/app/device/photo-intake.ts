/** From a camera's file to a stored photo; and object URLs for showing what is stored. */

import photoScript from "../../photo/worker?worker&url";
import type { PhotoAnswer, ReadyPhoto } from "../../shared/photo-messages";
import { photos } from "../state/storage";
import { scriptAddress } from "./trusted-types";

const TARGET_PX = 1_600;

/** The picture cannot be used. The message is a sentence for the person. */
export class PhotoProblem extends Error {
  override name = "PhotoProblem";
}

let worker: Worker | null = null;
let number = 0;
const waiting = new Map<number, (answer: PhotoAnswer) => void>();

function photoWorker(): Worker {
  if (worker !== null) return worker;
  worker = new Worker(scriptAddress(photoScript), { type: "module", name: "photo" });
  worker.onmessage = ({ data }: MessageEvent<PhotoAnswer>) => {
    waiting.get(data.id)?.(data);
    waiting.delete(data.id);
  };
  worker.onerror = () => {
    for (const [id, tell] of waiting) {
      tell({ id, problem: "The picture could not be prepared; take it again." });
    }
    waiting.clear();
    worker?.terminate();
    worker = null;
  };
  return worker;
}

export async function preparePhoto(file: Blob): Promise<ReadyPhoto> {
  number += 1;
  const id = number;
  const answer = await new Promise<PhotoAnswer>((resolve) => {
    waiting.set(id, resolve);
    photoWorker().postMessage({ id, file, target: TARGET_PX });
  });
  if ("problem" in answer) throw new PhotoProblem(answer.problem);
  return answer.photo;
}

const urls = new Map<string, string>();

/** An address to show a photo by; its bytes come from this phone, else from the server. */
export async function photoAddress(sha256: string, size: "thumb" | "full"): Promise<string | null> {
  const name = `${size} ${sha256}`;
  const known = urls.get(name);
  if (known !== undefined) return known;
  let blob: Blob | null = null;
  if (size === "thumb") {
    const card = await photos.card(sha256);
    if (card?.thumb != null) blob = new Blob([card.thumb], { type: "image/jpeg" });
    else if (card?.type === "image/heic") return null;
  }
  if (blob === null) {
    const kept = await photos.bytes(sha256);
    if (kept === null) return `/api/v1/blobs/${sha256}`;
    blob = new Blob([kept.bytes], { type: kept.type });
  }
  const address = URL.createObjectURL(blob);
  urls.set(name, address);
  return address;
}
