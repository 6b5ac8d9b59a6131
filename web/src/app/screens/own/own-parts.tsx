/** The part of the app that is loaded with findings in somebody's own words. */

import type { Files, Patterns } from "../../text/catalogue";

export { OwnRows } from "./own-rows";
export { OwnScreen } from "./own-screen";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/own.ftl",
  { import: "default" },
);
