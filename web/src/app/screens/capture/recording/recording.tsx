/** A voice note or an engine sound: asked for once, recorded with its level in sight, heard again. */

import { useEffect, useRef, useState } from "preact/hooks";
import { page } from "../../../state/this-page";
import { text } from "../../../text/catalogue";
import type { Near, Sound } from "../../../visit/capture/captured";
import type { Visit } from "../../../visit/visit";
import { Consent } from "./consent";
import { DeleteRecording, lengthText, Player } from "./player";
import { LONGEST_MS, openMicrophone, SoundRecorder } from "./sound-recorder";

/** Of a level: from here on it is more than the microphone takes. */
const TOO_LOUD = 0.98;
/** The quietest that the meter shows, dB below the loudest. */
const QUIETEST_DB = -54;
const LOOK_MS = 100;

/** The meter is even in dB, as the ear is. */
function shareOf(level: number): number {
  if (level <= 0) return 0;
  return Math.min(1, Math.max(0, 1 - (20 * Math.log10(level)) / QUIETEST_DB));
}

function Meter({ level, peak }: { level: number; peak: number }) {
  const percent = Math.round(100 * shareOf(level));
  return (
    <>
      <meter
        class="sound-meter"
        aria-label={text("capture-level")}
        min={0}
        max={100}
        value={percent}
        data-peak={peak.toFixed(3)}
      />
      {peak >= TOO_LOUD && <p class="wrong">{text("capture-too-loud")}</p>}
    </>
  );
}

/** While it records: how long, how loud, and the one button that ends it. */
function Running({ recorder }: { recorder: SoundRecorder }) {
  const [now, setNow] = useState({ length_ms: 0, level: 0, peak: 0 });
  useEffect(() => {
    const timer = setInterval(() => {
      const level = recorder.level();
      setNow(({ peak }) => ({
        length_ms: recorder.length_ms,
        level,
        peak: Math.max(peak, level),
      }));
    }, LOOK_MS);
    return () => clearInterval(timer);
  }, [recorder]);
  return (
    <>
      <p class="sound-time" data-recording={recorder.kind}>
        {text("capture-time", {
          length: lengthText(now.length_ms),
          most: lengthText(LONGEST_MS[recorder.kind]),
        })}
      </p>
      <Meter level={now.level} peak={now.peak} />
      <p class="hint">{text(`capture-${recorder.kind}-hint`)}</p>
      <div class="capture-choices">
        <button type="button" onClick={() => recorder.cancel()}>
          {text("capture-cancel")}
        </button>
        <button type="button" class="main" onClick={() => recorder.stop()}>
          {text("capture-stop")}
        </button>
      </div>
    </>
  );
}

function Kept({
  visit,
  sha256,
  onAgain,
  onClose,
}: {
  visit: Visit;
  sha256: string;
  onAgain: () => void;
  onClose: () => void;
}) {
  return (
    <>
      <p role="status">{text("phone-recording-kept")}</p>
      <Player sha256={sha256} label={text("capture-listen")} />
      <div class="capture-choices">
        <DeleteRecording visit={visit} sha256={sha256} onDone={onClose} />
        <button type="button" onClick={onAgain}>
          {text("capture-again")}
        </button>
      </div>
      <button type="button" class="main" onClick={onClose}>
        {text("capture-done")}
      </button>
    </>
  );
}

type State =
  | { of: "opening" }
  | { of: "running"; recorder: SoundRecorder }
  | { of: "kept"; sha256: string }
  | { of: "problem"; id: "capture-no-microphone" | "capture-sound-failed" };

export function Recording({
  visit,
  kind,
  near,
  item,
  onClose,
}: {
  visit: Visit;
  kind: Sound;
  near: Promise<Near>;
  /** The check that it is for: once it is kept it is heard there. */
  item?: string;
  onClose: () => void;
}) {
  const [state, setState] = useState<State>({ of: "opening" });
  const isThere = useRef(true);
  const running = useRef<SoundRecorder | null>(null);
  const isAsked = visit.text("about/voice") === "";
  const begin = async () => {
    setState({ of: "opening" });
    const stream = await openMicrophone(kind);
    if (stream === null) return setState({ of: "problem", id: "capture-no-microphone" });
    try {
      const recorder = new SoundRecorder(page, visit.id, kind, stream);
      running.current = recorder;
      await recorder.start({ ...(await near) }, item);
      if (!isThere.current) recorder.stop();
      setState({ of: "running", recorder });
      const sha256 = await recorder.kept;
      if (sha256 === null || item !== undefined) onClose();
      else setState({ of: "kept", sha256 });
    } catch (problem) {
      for (const track of stream.getTracks()) track.stop();
      reportError(problem);
      setState({ of: "problem", id: "capture-sound-failed" });
    }
  };
  useEffect(() => {
    if (!isAsked) void begin();
    return () => {
      // whoever leaves has what was recorded so far
      isThere.current = false;
      running.current?.stop();
    };
  }, []);
  if (isAsked) return <Consent visit={visit} onYes={() => void begin()} onNo={onClose} />;
  switch (state.of) {
    case "opening":
      return <p role="status">{text("capture-opening")}</p>;
    case "running":
      return <Running recorder={state.recorder} />;
    case "kept":
      return (
        <Kept visit={visit} sha256={state.sha256} onAgain={() => void begin()} onClose={onClose} />
      );
    default:
      return (
        <>
          <p class="wrong" role="alert">
            {text(state.id)}
          </p>
          <button type="button" class="main" onClick={onClose}>
            {text("phone-back")}
          </button>
        </>
      );
  }
}
