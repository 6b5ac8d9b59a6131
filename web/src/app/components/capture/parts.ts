/** Capture, sorting and the open photo: no part of a start, they come when they are used. */

import { lazyParts } from "../../state/lazy-parts";
import { catalogue } from "../../text/catalogue";

export const captureParts = lazyParts(async () => {
  const loaded = await import("../../screens/capture/capture-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});
