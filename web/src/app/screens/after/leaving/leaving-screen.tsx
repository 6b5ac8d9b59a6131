/** Before one leaves the car: the bargain, or passed; each of its parts is a screen of its own. */

import { ScreenFrame } from "../../../components/frame/screen-frame";
import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import { useLeaving } from "../../../visit/after/use-leaving";
import { carName } from "../../../visit/items/item-record";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { Bargain } from "./bargain";
import { Before } from "./before";
import { Card } from "./card";
import { Deposit } from "./deposit";
import { Papers } from "./papers";
import { Passes, PassForm } from "./pass";
import { Prices } from "./prices";

import "./leaving.css";

/** All of it: what one prepares, notes and decides. */
function Whole({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  const leaving = useLeaving(visit, assessment);
  return (
    <ScreenFrame
      title={text("leaving-title")}
      back={{ screen: "kerb", visit: visit.id }}
      above={carName(visit)}
      foot={
        <a class="button main" href={address({ screen: "leaving", visit: visit.id, part: "card" })}>
          {text("leaving-card")}
        </a>
      }
    >
      {leaving === null ? (
        <p role="status">{text("phone-decide-working")}</p>
      ) : (
        <>
          <Passes visit={visit} leaving={leaving} />
          <Before visit={visit} />
          <Bargain visit={visit} assessment={assessment} leaving={leaving} />
          <Prices visit={visit} leaving={leaving} />
          <Deposit visit={visit} leaving={leaving} />
          <a class="button" href={address({ screen: "leaving", visit: visit.id, part: "papers" })}>
            {text("leaving-papers")}
          </a>
          <PassForm visit={visit} />
        </>
      )}
    </ScreenFrame>
  );
}

export function LeavingScreen({ visit, part }: { visit: Visit; part: string | null }) {
  if (part === "card") return <Card visit={visit} />;
  return part === "papers" ? <Papers visit={visit} /> : <Whole visit={visit} />;
}
