/** The decision and what a seller may see of it, with their words: no start waits for them. */

import type { Files, Patterns } from "../../text/catalogue";

export { SellerView } from "../seller/seller-view";
export { Decision } from "./decision";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/decide.ftl",
  { import: "default" },
);
