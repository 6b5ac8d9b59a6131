/** Bar codes in what a camera shows or in a picture: read by a worker of its own, loaded when asked. */

import codesScript from "../../codes/worker?worker&url";
import type { CodeAnswer, CodeRequest } from "../../shared/code-messages";
import { scriptAddress } from "./trusted-types";

type Waiting = (answer: CodeAnswer) => void;

export class CodeReader {
  private worker: Worker | null = null;
  private number = 0;
  private readonly waiting = new Map<number, Waiting>();

  private running(): Worker {
    if (this.worker !== null) return this.worker;
    const worker = new Worker(scriptAddress(codesScript), { type: "module", name: "codes" });
    worker.onmessage = ({ data }: MessageEvent<CodeAnswer>) => {
      this.waiting.get(data.id)?.(data);
      this.waiting.delete(data.id);
    };
    worker.onerror = () => {
      for (const [id, hear] of this.waiting) hear({ id, isBroken: true });
      this.close();
    };
    this.worker = worker;
    return worker;
  }

  /** The texts of the codes that are in it; null where the reader is not to be had. */
  async read(picture: ImageBitmap, isStill: boolean): Promise<string[] | null> {
    this.number += 1;
    const id = this.number;
    const answer = await new Promise<CodeAnswer>((resolve) => {
      this.waiting.set(id, resolve);
      const request: CodeRequest<ImageBitmap> = { id, picture, isStill };
      this.running().postMessage(request, [picture]);
    });
    return "texts" in answer ? answer.texts : null;
  }

  close(): void {
    this.waiting.clear();
    this.worker?.terminate();
    this.worker = null;
  }
}
