/** The screens for the car's number and its bar code; the reader itself comes with its first use. */

import { lazyParts } from "../../state/lazy-parts";
import { catalogue } from "../../text/catalogue";

export const codesParts = lazyParts(async () => {
  // the viewfinder's look and words are those of capture
  const [loaded, capture] = await Promise.all([
    import("../../screens/capture/vin/codes-parts"),
    import("../../screens/capture/capture-parts"),
  ]);
  await Promise.all([catalogue.also(capture.WORDS), catalogue.also(loaded.WORDS)]);
  return loaded;
});
