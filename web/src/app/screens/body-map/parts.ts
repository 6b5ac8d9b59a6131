/** The part of the app that is loaded with the body map. */

export { BodyMap } from "./body-map";
export { StyleChoice } from "./style-choice";
