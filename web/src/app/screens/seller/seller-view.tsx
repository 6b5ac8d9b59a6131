/**
 * What a seller may see: the findings and what they mean for the road. No price, and no way to
 * one: while this is on, the app shows nothing else, whatever the address, the back button or a
 * restart say. The owner leaves by three taps in an order that the screen names anew each time,
 * which no stray thumb makes by chance.
 */

import { useEffect, useState } from "preact/hooks";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { newWayOut } from "../../state/seller-mode";
import { open, router, sellerMode } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { bare } from "../../text/tongues";
import { carName } from "../../visit/items/item-record";
import { driveNow, foundLine } from "../../visit/standing";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import { Evidence } from "../decision/evidence";

import "../decision/decision.css";
import "./seller-view.css";

export async function showToSeller(visit: string | null): Promise<void> {
  await sellerMode.show(visit);
  window.scrollTo(0, 0);
}

async function handBack(): Promise<void> {
  const visit = sellerMode.visit.value;
  if (visit !== null) router.go({ screen: "kerb", visit });
  await showToSeller(null);
}

function HandBack() {
  const [order, setOrder] = useState<string[] | null>(null);
  const [done, setDone] = useState(0);
  if (order === null) {
    return (
      <button type="button" onClick={() => setOrder(newWayOut())}>
        {text("phone-seller-back")}
      </button>
    );
  }
  return (
    <div>
      <p>{text("phone-seller-order", { order: order.join(", ") })}</p>
      <ChoiceButtons
        label={text("phone-seller-back")}
        className="figures"
        options={["1", "2", "3", "4", "5", "6", "7", "8", "9"].map((id) => ({ id, title: id }))}
        chosen={null}
        onChoose={(id) => {
          if (id !== order[done]) {
            setOrder(null);
            setDone(0);
          } else if (done === 2) void handBack();
          else setDone(done + 1);
        }}
      />
    </div>
  );
}

function Findings({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  useEffect(() => {
    document.title = bare(text("phone-app"));
  }, []);
  if (assessment === null) return <main />;
  const { answer, said } = driveNow(assessment);
  const found = foundLine(assessment, visit.value("about/started"));
  return (
    <>
      <header class="top">
        <h1>{carName(visit)}</h1>
      </header>
      <main>
        <section aria-label={text("phone-decide-drive")}>
          <h2>{text("phone-decide-drive")}</h2>
          <p class={`verdict verdict-${answer}`}>{say(said, visit.bundle.rules)}</p>
          {found !== "" && <p class="hint">{found}</p>}
          <p class="caution">{text("judge-drive-caution")}</p>
        </section>
        <Evidence visit={visit} assessment={assessment} />
        <HandBack />
      </main>
    </>
  );
}

export function SellerView() {
  const visit = open.visit.value;
  return visit === null || visit.id !== sellerMode.visit.value ? (
    <main />
  ) : (
    <Findings visit={visit} />
  );
}
