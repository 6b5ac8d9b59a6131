/** From a camera's file to a stored photo; and object URLs for showing what is stored. */

import photoScript from "../../photo/worker?worker&url";
import type { PhotoAnswer, PhotoRequest, ReadyPhoto } from "../../shared/photo-messages";
import { message, Told } from "../../shared/said";
import type { Photos } from "../../store/photos";
import { scriptAddress } from "./trusted-types";

const TARGET_PX = 1_600;

/** The picture cannot be used. */
export class PhotoProblem extends Told {
  override name = "PhotoProblem";
}

/** What prepares pictures: a worker, or what stands for one in a test. */
export interface PhotoWorker {
  onmessage: ((event: MessageEvent<PhotoAnswer>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
  postMessage(request: PhotoRequest<Blob>): void;
  terminate(): void;
}

function startWorker(): PhotoWorker {
  return new Worker(scriptAddress(photoScript), { type: "module", name: "photo" });
}

export class PhotoIntake {
  private worker: PhotoWorker | null = null;
  private number = 0;
  private readonly waiting = new Map<number, (answer: PhotoAnswer) => void>();
  private readonly addresses = new Map<string, string>();

  constructor(
    private readonly photos: Photos,
    private readonly start: () => PhotoWorker = startWorker,
  ) {}

  /** A photo of report size. Raises PhotoProblem. */
  async prepare(file: Blob): Promise<ReadyPhoto> {
    this.number += 1;
    const id = this.number;
    const answer = await new Promise<PhotoAnswer>((resolve) => {
      this.waiting.set(id, resolve);
      this.runningWorker().postMessage({ id, file, target: TARGET_PX });
    });
    if ("problem" in answer) throw new PhotoProblem(answer.problem);
    return answer.photo;
  }

  private runningWorker(): PhotoWorker {
    if (this.worker !== null) return this.worker;
    const worker = this.start();
    worker.onmessage = ({ data }) => {
      this.waiting.get(data.id)?.(data);
      this.waiting.delete(data.id);
    };
    worker.onerror = () => {
      for (const [id, answer] of this.waiting) {
        answer({ id, problem: message("phone-error-photo") });
      }
      this.waiting.clear();
      worker.terminate();
      this.worker = null;
    };
    this.worker = worker;
    return worker;
  }

  /**
   * An address to show a photo by; its bytes come from this phone, else from the server. Null for
   * a picture that this phone cannot show.
   */
  async address(sha256: string, size: "thumb" | "full"): Promise<string | null> {
    const name = `${size} ${sha256}`;
    const existing = this.addresses.get(name);
    if (existing !== undefined) return existing;
    let blob: Blob | null = null;
    if (size === "thumb") {
      const card = await this.photos.card(sha256);
      if (card?.thumb != null) blob = new Blob([card.thumb], { type: "image/jpeg" });
      else if (card?.type === "image/heic") return null;
    }
    if (blob === null) {
      const stored = await this.photos.bytes(sha256);
      if (stored === null) return `/api/v1/blobs/${sha256}`;
      blob = new Blob([stored.bytes], { type: stored.type });
    }
    const address = URL.createObjectURL(blob);
    this.addresses.set(name, address);
    return address;
  }
}
