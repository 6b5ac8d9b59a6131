/**
 * The decision at the curb on one screen: the four answers, the reasons that count, the money, what
 * to look at next. What each rests on is folded below. The seller's view has no money and no way to it.
 */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/items/item-record";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { ToSettle } from "../ad/later";
import { SeenBefore } from "../after/leaving/later";
import { PurposeStrip } from "../before/purpose/later";
import { showToSeller } from "../seller/seller-view";
import { DriveHome } from "./drive-home";
import { Evidence } from "./evidence";
import { Histories } from "./histories";
import { MoneyBar } from "./money/money-bar";
import { MoneySummary } from "./money/money-summary";
import { PayingLess } from "./money/paying-less";
import { NextChecks } from "./next-checks";
import { Questions } from "./questions";
import { ReadAloud } from "./read-aloud";
import { Reasons } from "./reasons";
import { Verdict } from "./verdict";

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
          <Verdict visit={visit} assessment={assessment} />
          <nav class="deeds" aria-label={text("phone-decide-deeds")}>
            <a class="button" href={address({ screen: "tell", visit: visit.id })}>
              {text("tell-title")}
            </a>
            <a class="button" href={address({ screen: "seal", visit: visit.id })}>
              {text("phone-sign-title")}
            </a>
            <a class="button" href={address({ screen: "leaving", visit: visit.id, part: null })}>
              {text("phone-decide-leaving")}
            </a>
          </nav>
          <PurposeStrip visit={visit} />
          <SeenBefore visit={visit} />
          <ReadAloud visit={visit} assessment={assessment} />
          <Questions visit={visit} assessment={assessment} />
          <ToSettle visit={visit} items={null} />
          <Reasons visit={visit} assessment={assessment} />
          <MoneyBar assessment={assessment} />
          <PayingLess visit={visit} assessment={assessment} />
          <NextChecks visit={visit} assessment={assessment} />
          <DriveHome visit={visit} assessment={assessment} />
          <Histories visit={visit} assessment={assessment} />
          <MoneySummary visit={visit} assessment={assessment} />
          <Evidence visit={visit} assessment={assessment} isFolded />
          <a class="button" href={address({ screen: "trouble", visit: visit.id, complaint: null })}>
            {text("phone-decide-trouble")}
          </a>
        </>
      )}
    </ScreenFrame>
  );
}
