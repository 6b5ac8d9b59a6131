/** The part of the app that is loaded with the ad and the claims. */

import type { Files, Patterns } from "../../text/catalogue";

export { AdScreen } from "./ad-screen";
export { SharedAds } from "./shared";
export { ToSettle } from "./to-settle";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/claims.ftl",
  { import: "default" },
);
