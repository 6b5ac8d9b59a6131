/** Pictures as they come, one after another: each is kept and recorded before it counts. */

import { useState } from "preact/hooks";
import type { Said } from "../../../shared/said";
import { photoServices } from "../../state/this-page";
import type { Near } from "../../visit/capture/captured";
import { recordPhoto } from "../../visit/capture/record-photo";
import type { Visit } from "../../visit/visit";

export interface Shots {
  kept: number;
  waiting: number;
  problem: Said | null;
  add: (picture: Blob) => Promise<void>;
}

export function useShots(visit: Visit, near: Promise<Near>): Shots {
  const [count, setCount] = useState({ kept: 0, waiting: 0 });
  const [problem, setProblem] = useState<Said | null>(null);
  const add = async (picture: Blob) => {
    setProblem(null);
    setCount(({ kept, waiting }) => ({ kept, waiting: waiting + 1 }));
    const extra = { kind: "photo" as const, near: await near };
    const failure = await recordPhoto(photoServices, visit, "media", picture, extra);
    const more = failure === null ? 1 : 0;
    setCount(({ kept, waiting }) => ({ kept: kept + more, waiting: waiting - 1 }));
    if (failure !== null) setProblem(failure);
  };
  return { ...count, problem, add };
}
