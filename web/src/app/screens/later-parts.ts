/** Screens for which no start and no check waits; they come together when one is looked at. */

export { Pair } from "./phone/pair";
export { Storage } from "./phone/storage";
