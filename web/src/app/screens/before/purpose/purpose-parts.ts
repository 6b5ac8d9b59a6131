/** The part of the app that is loaded with what the car is for. */

import type { Files, Patterns } from "../../../text/catalogue";

export { CompareScreen } from "./compare";
export { PurposeScreen } from "./purpose-screen";
export { Strip } from "./strip";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/{before,capture}.ftl",
  { import: "default" },
);
