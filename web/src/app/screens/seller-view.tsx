/**
 * What a seller may see: the findings and what they mean for the road. No price, and no way to
 * one: while this is on, the app shows nothing else, whatever the address, the back button or a
 * restart say. The owner leaves by three taps in an order that the screen names anew each time,
 * which no stray thumb makes by chance.
 */

import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { Choices } from "../components/choice-buttons";
import { openVisit } from "../state/open-visit";
import { go } from "../state/router";
import { facts } from "../state/storage";
import { useAssessment } from "../state/use-assessment";
import type { Visit } from "../state/visit";
import { words } from "../text/en";
import { Evidence } from "./decision";
import { carName } from "./walk";

/** The visit that a seller is looking at; null when the phone is in its owner's hand. */
export const sellerSees = signal<string | null>(null);

export async function restoreSeller(): Promise<void> {
  sellerSees.value = (await facts.read("seller")) ?? null;
}

export async function showToSeller(visit: string | null): Promise<void> {
  // stored first: a restart must not show more than the screen did
  await facts.write("seller", visit);
  sellerSees.value = visit;
  window.scrollTo(0, 0);
}

async function handBack(): Promise<void> {
  const visit = sellerSees.value;
  if (visit !== null) go({ screen: "kerb", visit });
  await showToSeller(null);
}

function wayOut(): string[] {
  const figures = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
  const order: string[] = [];
  for (const random of crypto.getRandomValues(new Uint8Array(3))) {
    order.push(figures.splice(random % figures.length, 1)[0] ?? "1");
  }
  return order;
}

function HandBack() {
  const [order, setOrder] = useState<string[] | null>(null);
  const [done, setDone] = useState(0);
  if (order === null) {
    return (
      <button type="button" onClick={() => setOrder(wayOut())}>
        {words.seller.back}
      </button>
    );
  }
  return (
    <div>
      <p>{words.seller.order(order.join(", "))}</p>
      <Choices
        label={words.seller.back}
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

function Shown({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  useEffect(() => {
    document.title = words.app;
  }, []);
  if (assessment === null) return <main />;
  const { answer, text, caution } = assessment.drive_home;
  return (
    <>
      <header class="top">
        <h1>{carName(visit)}</h1>
      </header>
      <main>
        <section aria-label={words.kerb.drive}>
          <h2>{words.kerb.drive}</h2>
          <p class={`verdict verdict-${answer}`}>{text}</p>
          <p class="caution">{caution}</p>
        </section>
        <Evidence visit={visit} assessment={assessment} />
        <HandBack />
      </main>
    </>
  );
}

export function Seller() {
  const visit = openVisit.value;
  return visit === null || visit.id !== sellerSees.value ? <main /> : <Shown visit={visit} />;
}
