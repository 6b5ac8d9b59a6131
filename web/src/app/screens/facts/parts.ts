/** The car's details, which come when they are looked at: no part of a start. */

export { CarFacts } from "./facts";
