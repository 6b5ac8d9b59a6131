/** The decision, what a seller may see of it and what is done from there, with their words: no start waits for them. */

import type { Files, Patterns } from "../../text/catalogue";

export { SellerView } from "../seller/seller-view";
export { Sign } from "../sign/sign";
export { Tell } from "../tell/tell";
export { Decision } from "./decision";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/decide.ftl",
  { import: "default" },
);
