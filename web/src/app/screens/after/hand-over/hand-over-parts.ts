/** What is loaded when the record is handed over as a file. */

import type { Files, Patterns } from "../../../text/catalogue";

export { HandOver } from "./screen";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/after.ftl",
  { import: "default" },
);
