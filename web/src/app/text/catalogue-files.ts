/** The files of the catalogue that the phone shows, each locale a chunk of its own. */

import type { Files, Patterns } from "./catalogue";

export const FILES: Files = import.meta.glob<Patterns>(
  "../../../../server/bradawl/language/locales/*/{shared,judge,phone}.ftl",
  { import: "default" },
);
