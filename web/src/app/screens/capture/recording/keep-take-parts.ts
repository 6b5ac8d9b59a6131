/** No start waits for what was left of recordings: it comes when there is any. */

export { keepLeftTakes } from "./keep-take";
