/** The part of the app that renames cars and puts them away. */

export { Manage } from "./manage";
export { PutAway } from "./put-away";
