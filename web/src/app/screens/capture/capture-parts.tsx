/** The part of the app that is loaded when something is captured, sorted or looked at closely. */

import type { Files, Patterns } from "../../text/catalogue";

import "../../../style/rows.css";
import "./capture.css";

export { OpenPhoto } from "../../components/photos/open-photo";
export { FinderOver } from "./finder";
export { CardSounds, VoiceOver } from "./recording/card-sounds";
export { CaptureSheet } from "./sheet";
export { SortScreen } from "./sort";

export const WORDS: Files = import.meta.glob<Patterns>(
  "../../../../../server/bradawl/language/locales/*/capture.ftl",
  { import: "default" },
);
