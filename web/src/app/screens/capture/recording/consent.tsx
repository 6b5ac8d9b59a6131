/** Asked once in a visit, before anybody's voice can be recorded. The answer is part of the record. */

import { text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";

export function Consent({
  visit,
  onYes,
  onNo,
}: {
  visit: Visit;
  onYes: () => void;
  onNo: () => void;
}) {
  const answer = async (value: "alone" | "agreed") => {
    const said = { title: text("capture-voice-title"), answer: text(`capture-voice-${value}`) };
    const isKept = await visit.put(
      [{ put: "about/voice", value }],
      text("phone-item-recorded", said),
      false,
    );
    if (isKept) onYes();
  };
  return (
    <>
      <h2>{text("capture-voice-title")}</h2>
      <p class="caution">{text("capture-voice-law")}</p>
      <button type="button" onClick={() => void answer("agreed")}>
        {text("capture-voice-agreed")}
      </button>
      <button type="button" onClick={() => void answer("alone")}>
        {text("capture-voice-alone")}
      </button>
      <button type="button" class="main" onClick={onNo}>
        {text("capture-voice-no")}
      </button>
    </>
  );
}
