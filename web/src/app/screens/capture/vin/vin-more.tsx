/** What stands below the car's number among its facts: what its check says, and its bar code. */

import { useState } from "preact/hooks";
import { text } from "../../../text/catalogue";
import { say } from "../../../text/say";
import { vinCheck, vinSentences } from "../../../visit/capture/vin";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { VinSheet } from "./sheet";

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

export function VinMore({ visit }: { visit: Visit }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <Checked visit={visit} />
      <button type="button" onClick={() => setOpen(true)}>
        {text("capture-vin")}
      </button>
      {isOpen && <VinSheet visit={visit} onClose={() => setOpen(false)} />}
    </>
  );
}
