/** The check before signing: what was found, what is missing, then name, place and signature. */

import { useEffect, useRef, useState } from "preact/hooks";
import { saidOf } from "../../../shared/said";
import { TextField } from "../../components/controls/text-field";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { sealSentence } from "../../components/seal/seal-status";
import { type Drawn, SignaturePad } from "../../components/seal/signature-pad";
import { preferences, router } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { signVisit } from "../../visit/sealing";
import type { Visit } from "../../visit/visit";
import { areasOf } from "../../visit/walk-order";
import { UnsettledList } from "../together/later";
import { CheckList } from "./check-list";
import { OpenItems } from "./open-items";

import "./sign.css";

/** What keeps the visit from being signed, and the id of where that is put right. */
interface FormError {
  id: string;
  text: string;
}

interface Form {
  name: string;
  place: string;
  drawn: Drawn;
  /** With how many items open the person said to sign; another number is another decision. */
  accepted: number;
}

function errorsIn({ name, place, drawn, accepted }: Form, open: number): FormError[] {
  const errors: FormError[] = [];
  if (open !== 0 && accepted !== open) {
    errors.push({ id: "seal-unlooked", text: text("phone-sign-need-unlooked") });
  }
  if (name.trim() === "") errors.push({ id: "seal-name", text: text("phone-sign-need-name") });
  if (place.trim() === "") errors.push({ id: "seal-place", text: text("phone-sign-need-place") });
  if (drawn.strokes.length === 0)
    errors.push({ id: "signature-label", text: text("phone-sign-need-strokes") });
  return errors;
}

/** The form, what is wrong with it once it was tried, and signing. */
function useSigning(visit: Visit, open: number) {
  const [form, setForm] = useState<Form>({
    name: visit.text("about/inspector") || preferences.value.inspector,
    place: visit.text("about/place"),
    drawn: { strokes: [], box: [0, 0] },
    accepted: 0,
  });
  /** How often signing was tried: what is wrong is said from then on, and until it is put right. */
  const [tries, setTries] = useState(0);
  const [failure, setFailure] = useState<string | null>(null);
  const [isBusy, setBusy] = useState(false);
  const wrong = errorsIn(form, open);
  const failed = failure === null ? [] : [{ id: "signature-label", text: failure }];
  const sign = async () => {
    setFailure(null);
    if (wrong.length > 0) {
      setTries(tries + 1);
      return;
    }
    setBusy(true);
    try {
      const { strokes, box } = form.drawn;
      await signVisit(visit, { name: form.name.trim(), place: form.place.trim(), strokes, box });
      router.go({ screen: "walk", visit: visit.id });
    } catch (problem) {
      setFailure(say(saidOf(problem)));
      setTries(tries + 1);
    } finally {
      setBusy(false);
    }
  };
  return {
    ...{ form, tries, isBusy, sign },
    errors: tries === 0 ? [] : [...wrong, ...failed],
    change: (change: Partial<Form>) => setForm((before) => ({ ...before, ...change })),
  };
}

/** What is wrong, at the top; each line leads to where it is put right. */
function ErrorSummary({ errors, tries }: { errors: FormError[]; tries: number }) {
  const summary = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (tries > 0) summary.current?.focus();
  }, [tries]);
  if (errors.length === 0) return null;
  const lead = (id: string) => {
    const field = document.getElementById(id);
    field?.scrollIntoView({ block: "center" });
    field?.focus();
  };
  return (
    <div class="wrong-summary" role="alert" tabIndex={-1} ref={summary}>
      <ul>
        {errors.map(({ id, text }) => (
          <li key={id}>
            <button type="button" class="link" onClick={() => lead(id)}>
              {text}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}

export function Sign({ visit }: { visit: Visit }) {
  const areas = areasOf(visit);
  const items = areas.flatMap((area) => area.items);
  const open = areas.flatMap((area) => area.open);
  const { form, change, errors, tries, isBusy, sign } = useSigning(visit, open.length);
  const seals = visit.seals();
  const problemAt = (id: string) => errors.find((error) => error.id === id)?.text ?? null;
  return (
    <ScreenFrame
      title={errors.length > 0 ? text("phone-sign-errors") : text("phone-sign-title")}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <button type="button" class="main" disabled={isBusy} onClick={() => void sign()}>
          {isBusy
            ? text("phone-sign-working")
            : seals.length > 0
              ? text("phone-sign-again")
              : text("phone-sign-sign")}
        </button>
      }
    >
      <ErrorSummary errors={errors} tries={tries} />
      {seals.map(({ n, value }) => (
        <p key={n} class="sealed">
          {sealSentence(value)}
        </p>
      ))}
      <p>{text("phone-sign-intro")}</p>
      <blockquote>{text("seal-declaration")}</blockquote>
      <UnsettledList visit={visit} />
      <CheckList visit={visit} items={items} open={open} />
      {open.length > 0 && (
        <OpenItems
          visit={visit}
          count={open.length}
          isAccepted={form.accepted === open.length}
          problem={problemAt("seal-unlooked")}
          onAccept={(isAccepted) => change({ accepted: isAccepted ? open.length : 0 })}
        />
      )}
      <TextField
        id="seal-name"
        label={text("phone-sign-name")}
        value={form.name}
        problem={problemAt("seal-name")}
        onRecord={(name) => change({ name })}
      />
      <TextField
        id="seal-place"
        label={text("phone-sign-place")}
        value={form.place}
        problem={problemAt("seal-place")}
        onRecord={(place) => change({ place })}
      />
      <SignaturePad
        drawn={form.drawn}
        problem={problemAt("signature-label")}
        onDraw={(drawn) => change({ drawn })}
      />
    </ScreenFrame>
  );
}
