/** The cache of judge and checklists, each under the hash of its content: written by the service worker. */
export const CONTENT = "bradawl-content";
/** The cache of typefaces, which outlives versions of the app: each file under the number of its cut. */
export const FONTS = "bradawl-fonts";

/** The cache of the bar-code reader, which outlives versions of the app and is larger than its shell. */
export const CODES = "bradawl-codes";
