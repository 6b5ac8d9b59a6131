/** The car's number among its facts: typed, or read from its bar code; and what its check says. */

import { useState } from "preact/hooks";
import { captureParts } from "../../components/capture/parts";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { useAssessment } from "../../visit/use-assessment";
import { VIN_PUT, vinCheck, vinSentences } from "../../visit/vin-parts";
import type { Visit } from "../../visit/visit";
import { TextFact } from "./fact-fields";

/** Said of whatever numbers are recorded, read and typed alike. */
function Checked({ visit }: { visit: Visit }) {
  useAssessment(visit);
  const check = vinCheck(visit);
  const said = check === null ? [] : vinSentences(visit.judged(check.item.id));
  if (said.length === 0) return null;
  return (
    <div class="vin-checked" role="status">
      {said.map((one) => (
        <p key={JSON.stringify(one)}>{say(one, visit.bundle.rules)}</p>
      ))}
    </div>
  );
}

export function VinFact({ visit }: { visit: Visit }) {
  const parts = captureParts.use();
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <TextFact visit={visit} put={VIN_PUT} label={text("phone-facts-vin")} />
      <Checked visit={visit} />
      {parts !== null && (
        <button type="button" onClick={() => setOpen(true)}>
          {text("capture-vin")}
        </button>
      )}
      {isOpen && parts !== null && <parts.VinSheet visit={visit} onClose={() => setOpen(false)} />}
    </>
  );
}
