/**
 * Locking: one tap seals what stands, with the phone's own key and the name that it knows. What is
 * open or in dispute is listed and stands in the lock; it keeps nobody from locking. A finger's
 * signature is for whoever wants one, now or later.
 */

import { useState } from "preact/hooks";
import { saidOf } from "../../../shared/said";
import { TextField } from "../../components/controls/text-field";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { sealSentence, useAmendments } from "../../components/seal/seal-status";
import { type Drawn, SignaturePad } from "../../components/seal/signature-pad";
import { address } from "../../state/routes";
import { page, preferences, router } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { areasOf } from "../../visit/walk-order";
import { UnsettledList } from "../together/later";
import { CheckList } from "./check-list";
import { LeftOpen } from "./left-open";
import { lockVisit, type OpenAtLock, openAtLock } from "./locking";

import "./sign.css";

const NOT_DRAWN: Drawn = { strokes: [], box: [0, 0] };

/** The form, what went wrong, and locking. */
function useLocking(visit: Visit, open: OpenAtLock) {
  // whose phone it is; who began the visit may be somebody else, and then it only suggests a name
  const known = preferences.value.inspector;
  const [name, setName] = useState(known || visit.text("about/inspector"));
  const [place, setPlace] = useState(visit.text("about/place"));
  const [drawn, setDrawn] = useState(NOT_DRAWN);
  const [problem, setProblem] = useState<string | null>(null);
  const [isBusy, setBusy] = useState(false);
  const lock = async () => {
    const by = name.trim();
    if (by === "") {
      setProblem(text("phone-lock-need-name"));
      document.getElementById("lock-name")?.focus();
      return;
    }
    setBusy(true);
    try {
      if (preferences.value.inspector === "") void page.state.setPreferences({ inspector: by });
      const { strokes, box } = drawn;
      await lockVisit(visit, { name: by, place: place.trim(), strokes, box, open });
      router.go({ screen: "walk", visit: visit.id });
    } catch (failure) {
      setProblem(say(saidOf(failure)));
    } finally {
      setBusy(false);
    }
  };
  return {
    ...{ known, name, place, drawn, problem, isBusy, lock, setPlace, setDrawn },
    setName: (typed: string) => {
      setName(typed);
      setProblem(null);
    },
  };
}

export function Sign({ visit }: { visit: Visit }) {
  const areas = areasOf(visit);
  const open = areas.flatMap((area) => area.open);
  const left = openAtLock(visit);
  const form = useLocking(visit, left);
  const seals = visit.seals();
  const amendments = useAmendments(visit);
  const isLocked = seals.length > 0 && amendments === 0;
  return (
    <ScreenFrame
      title={text("phone-sign-title")}
      back={{ screen: "walk", visit: visit.id }}
      foot={
        <button
          type="button"
          class={isLocked && form.drawn.strokes.length === 0 ? undefined : "main"}
          disabled={form.isBusy}
          onClick={() => void form.lock()}
        >
          {text(
            form.isBusy
              ? "phone-lock-working"
              : seals.length > 0
                ? "phone-lock-again"
                : "phone-lock-go",
          )}
        </button>
      }
    >
      {seals.map(({ n, value }) => (
        <p key={n} class="sealed">
          {sealSentence(value)}
        </p>
      ))}
      {form.problem !== null && (
        <p class="wrong" role="alert">
          {form.problem}
        </p>
      )}
      {form.known === "" ? (
        <TextField
          id="lock-name"
          label={text("phone-lock-name")}
          value={form.name}
          problem={form.problem}
          onRecord={form.setName}
        />
      ) : (
        <p>{text("phone-lock-means", { name: form.known })}</p>
      )}
      <p>{text("phone-lock-undo")}</p>
      <blockquote>{text("seal-declaration")}</blockquote>
      <a class="button" href={address({ screen: "leaving", visit: visit.id, part: null })}>
        {text("phone-decide-leaving")}
      </a>
      <LeftOpen visit={visit} left={left} />
      <UnsettledList visit={visit} />
      <details class="part">
        <summary>{text("phone-lock-finger")}</summary>
        <p class="hint">{text("phone-lock-finger-hint")}</p>
        {form.known !== "" && (
          <TextField
            id="lock-name"
            label={text("phone-lock-name")}
            value={form.name}
            onRecord={form.setName}
          />
        )}
        <TextField
          id="lock-place"
          label={text("phone-lock-place")}
          value={form.place}
          onRecord={form.setPlace}
        />
        <SignaturePad drawn={form.drawn} onDraw={form.setDrawn} />
      </details>
      <CheckList visit={visit} items={areas.flatMap((area) => area.items)} open={open} />
    </ScreenFrame>
  );
}
