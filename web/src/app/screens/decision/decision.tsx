/**
 * The decision at the curb: may it be driven home and is anything dangerous; what to look at in the
 * time left; what it will cost and what it is worth. The seller's view has no money and no way to it.
 */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/item-record";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { DriveHome } from "./drive-home";
import { Evidence } from "./evidence";
import { MoneySummary } from "./money-summary";
import { NextChecks } from "./next-checks";
import { Questions } from "./questions";
import { showToSeller } from "./seller-view";

import "./decision.css";

export function Decision({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  return (
    <ScreenFrame
      title={text("phone-decide-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        <button type="button" onClick={() => void showToSeller(visit.id)}>
          {text("phone-decide-to-seller")}
        </button>
      }
    >
      {assessment === null ? (
        <p role="status">{text("phone-decide-working")}</p>
      ) : (
        <>
          <DriveHome visit={visit} assessment={assessment} />
          <Questions visit={visit} assessment={assessment} />
          <NextChecks visit={visit} assessment={assessment} />
          <MoneySummary visit={visit} assessment={assessment} />
          <Evidence visit={visit} assessment={assessment} />
        </>
      )}
    </ScreenFrame>
  );
}
