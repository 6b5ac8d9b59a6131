/** The part of the app that is loaded with what is done before one goes. */

import type { Files, Patterns } from "../../../text/catalogue";

export { GoingScreen } from "./going-screen";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/{before,claims}.ftl",
  { import: "default" },
);
