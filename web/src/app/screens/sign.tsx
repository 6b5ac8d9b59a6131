/** The check before signing: what was found, what is missing, then name, place and signature. */

import { useEffect, useRef, useState } from "preact/hooks";
import { FAULTS, type Item } from "../../shared/contract";
import { type Drawn, Signature } from "../components/drawing/signature-pad";
import { GradeWord } from "../components/grade-mark";
import { shownGrade } from "../components/item-card";
import { photosOf } from "../components/item-photos";
import { Frame } from "../components/screen-frame";
import { sealText } from "../components/seal-status";
import { Field } from "../components/text-field";
import { preferences } from "../state/app-state";
import { address, go } from "../state/router";
import { signVisit } from "../state/sealing";
import { useAssessment } from "../state/use-assessment";
import type { Visit } from "../state/visit";
import { areasOf, nextOpen, stagesOf } from "../state/walk-order";
import { words } from "../text/en";

function ItemLine({ visit, item }: { visit: Visit; item: Item }) {
  return (
    <li>
      <a
        class="row"
        href={address({ screen: "area", visit: visit.id, area: item.area, item: item.id })}
      >
        <span class="row-title">{item.title}</span>
        <span class="row-state">
          <GradeWord grade={shownGrade(visit, item)} />
        </span>
      </a>
    </li>
  );
}

function Part({ title, items, visit }: { title: string; items: Item[]; visit: Visit }) {
  if (items.length === 0) return null;
  return (
    <details class="part" open={items.length <= 12}>
      <summary>
        {title}: {items.length}
      </summary>
      <ul class="rows">
        {items.map((item) => (
          <ItemLine key={item.id} visit={visit} item={item} />
        ))}
      </ul>
    </details>
  );
}

/** What stands open, what that does to the report, and a choice that nobody makes by chance. */
function Unlooked({
  visit,
  count,
  chosen,
  problem,
  onChoose,
}: {
  visit: Visit;
  count: number;
  chosen: boolean;
  problem: string | null;
  onChoose: (chosen: boolean) => void;
}) {
  const next = nextOpen(stagesOf(visit), null);
  const coverage = useAssessment(visit)?.coverage.text;
  return (
    <section class="unlooked" aria-labelledby="unlooked-title">
      <h2 id="unlooked-title">{words.seal.unlooked(count)}</h2>
      {coverage !== undefined && <p>{coverage}</p>}
      <p>{words.seal.unlookedMeans}</p>
      {problem !== null && <p class="wrong">{problem}</p>}
      {next !== null && (
        <a
          class="button"
          href={address({
            screen: "stage",
            visit: visit.id,
            stage: next.page.id,
            item: next.item.id,
          })}
        >
          {words.seal.goOn}
        </a>
      )}
      <button
        id="seal-unlooked"
        type="button"
        class="choice"
        aria-pressed={chosen}
        onClick={() => onChoose(!chosen)}
      >
        {words.seal.unlookedYes(count)}
      </button>
    </section>
  );
}

export function Seal({ visit }: { visit: Visit }) {
  const [drawn, setDrawn] = useState<Drawn>({ strokes: [], box: [0, 0] });
  const [name, setName] = useState(visit.text("about/inspector") || preferences.value.inspector);
  const [place, setPlace] = useState(visit.text("about/place"));
  /** With how many items open the person said to sign; another number is another decision. */
  const [accepted, setAccepted] = useState(0);
  /** How often signing was tried: what is wrong is said from then on, and until it is put right. */
  const [tried, setTried] = useState(0);
  const [failed, setFailed] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const summary = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (tried > 0) summary.current?.focus();
  }, [tried]);
  const all = areasOf(visit).flatMap((area) => area.items);
  const open = areasOf(visit).flatMap((area) => area.open);
  const grade = (item: Item) => shownGrade(visit, item);
  const faults = all.filter((item) => FAULTS.some((fault) => fault === grade(item)));
  const unseen = all.filter((item) => grade(item) === "uninspected");
  const problems = all.filter((item) => (visit.judged(item.id)?.problems ?? []).length > 0);
  const photos = all.reduce((sum, item) => sum + photosOf(visit, item.id).length, 0);
  const seals = visit.seals();
  const wrong: { id: string; text: string }[] = [];
  if (open.length !== 0 && accepted !== open.length)
    wrong.push({ id: "seal-unlooked", text: words.seal.needUnlooked });
  if (name.trim() === "") wrong.push({ id: "seal-name", text: words.seal.needName });
  if (place.trim() === "") wrong.push({ id: "seal-place", text: words.seal.needPlace });
  if (drawn.strokes.length === 0)
    wrong.push({ id: "signature-label", text: words.seal.needStrokes });
  if (failed !== null) wrong.push({ id: "signature-label", text: failed });
  const errors = tried === 0 ? [] : wrong;
  const said = (id: string) => errors.find((error) => error.id === id)?.text ?? null;
  const sign = async () => {
    setFailed(null);
    if (wrong.some(({ text }) => text !== failed)) {
      setTried(tried + 1);
      return;
    }
    setBusy(true);
    try {
      const { strokes, box } = drawn;
      await signVisit(visit, { name: name.trim(), place: place.trim(), strokes, box });
      go({ screen: "walk", visit: visit.id });
    } catch (problem) {
      setFailed(problem instanceof Error ? problem.message : String(problem));
      setTried(tried + 1);
    } finally {
      setBusy(false);
    }
  };
  return (
    <Frame
      title={errors.length > 0 ? words.seal.errors : words.seal.title}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <button type="button" class="main" disabled={busy} onClick={() => void sign()}>
          {busy ? words.seal.working : seals.length > 0 ? words.seal.again : words.seal.sign}
        </button>
      }
    >
      {errors.length > 0 && (
        <div class="wrong-summary" role="alert" tabIndex={-1} ref={summary}>
          <ul>
            {errors.map(({ id, text }) => (
              <li key={id}>
                <button
                  type="button"
                  class="link"
                  onClick={() => {
                    const field = document.getElementById(id);
                    field?.scrollIntoView({ block: "center" });
                    field?.focus();
                  }}
                >
                  {text}
                </button>
              </li>
            ))}
          </ul>
        </div>
      )}
      {seals.map(({ n, value }) => (
        <p key={n} class="sealed">
          {sealText(value)}
        </p>
      ))}
      <p>{words.seal.intro}</p>
      <dl class="sums">
        <dt>{words.seal.answered}</dt>
        <dd>
          {all.length - open.length} / {all.length}
        </dd>
        <dt>{words.seal.photos}</dt>
        <dd>{photos}</dd>
      </dl>
      <Part title={words.seal.problems} items={problems} visit={visit} />
      <Part title={words.seal.found} items={faults} visit={visit} />
      <Part title={words.seal.open} items={open} visit={visit} />
      <Part title={words.seal.uninspected} items={unseen} visit={visit} />
      {open.length > 0 && (
        <Unlooked
          visit={visit}
          count={open.length}
          chosen={accepted === open.length}
          problem={said("seal-unlooked")}
          onChoose={(yes) => setAccepted(yes ? open.length : 0)}
        />
      )}
      <Field
        id="seal-name"
        label={words.seal.name}
        value={name}
        problem={said("seal-name")}
        onRecord={setName}
      />
      <Field
        id="seal-place"
        label={words.seal.place}
        value={place}
        problem={said("seal-place")}
        onRecord={setPlace}
      />
      <Signature drawn={drawn} problem={said("signature-label")} onDraw={setDrawn} />
    </Frame>
  );
}
