/** What the check page and its judge's worker say to one another. */

/** The first message brings the engine and the judge's files; each later one asks. */
export type ToEngine =
  | { engine: Uint8Array<ArrayBuffer>; files: Record<string, string> }
  | { id: number; text: string };

export type FromEngine = { id: number; text: string } | { broken: string };
