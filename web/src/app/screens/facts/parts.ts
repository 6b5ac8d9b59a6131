/** The car's details, which come when they are looked at: no part of a start. */

export { takeModel } from "../../visit/model";
export { CarFacts } from "./facts";
