/** The part of the app that is loaded with the drive home. */

import type { Files, Patterns } from "../../../text/catalogue";

export { DrivingScreen } from "./driving-screen";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/after.ftl",
  { import: "default" },
);
