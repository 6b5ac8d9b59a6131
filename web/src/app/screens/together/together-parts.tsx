/** The part of the app that is loaded once a second phone has the visit. */

import type { Files, Patterns } from "../../text/catalogue";

import "./together.css";

export { ItemConflicts } from "./conflict-card";
export { News } from "./news";
export { StageTaken } from "./stage-taken";
export { Two } from "./two-screen";
export { UnsettledList } from "./unsettled-list";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/together.ftl",
  { import: "default" },
);
