/** What goes to the worker that reads bar codes and what comes back. */

/** Text by text, each once. A reader that did not come says so by `isBroken`. */
export type CodeAnswer = { id: number; texts: string[] } | { id: number; isBroken: true };

/**
 * `Picture` is the realm's own picture. A still is searched from every side; of a film each picture
 * is tried at one angle, the next one at the next.
 */
export interface CodeRequest<Picture> {
  id: number;
  picture: Picture;
  isStill: boolean;
}
