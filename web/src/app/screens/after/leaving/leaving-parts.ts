/** The part of the app that is loaded with what is done before one leaves a car. */

import type { Files, Patterns } from "../../../text/catalogue";

export { SeenBefore } from "./before";
export { LeavingScreen } from "./leaving-screen";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/after.ftl",
  { import: "default" },
);
