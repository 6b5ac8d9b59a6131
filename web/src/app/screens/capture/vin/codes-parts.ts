/** The car's number by its bar code: no part of a start, and counted with the reader of bar codes. */

import type { Files, Patterns } from "../../../text/catalogue";

import "./vin.css";

export { VinSheet } from "./sheet";
export { VinMore } from "./vin-more";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../../server/bradawl/language/locales/*/codes.ftl",
  { import: "default" },
);
