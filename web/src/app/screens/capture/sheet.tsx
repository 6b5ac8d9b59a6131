/** What the one control opens: photo, viewfinder, note; and the way to what is to be sorted. */

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { codesParts } from "../../components/capture/code-screens";
import { Modal } from "../../components/capture/modal";
import { openCamera } from "../../device/camera";
import { address } from "../../state/routes";
import { say, text } from "../../text/catalogue";
import { type Sound, unsorted } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";
import { Finder } from "./finder";
import { whereNow } from "./near";
import { NoteForm } from "./note-form";
import { Recording } from "./recording/recording";
import { type Shots, useShots } from "./use-shots";

type Mode = { of: "menu" | "note" | "vin" | Sound } | { of: "finder"; stream: MediaStream };

/** The phone's own camera, again and again; and pictures that it took before. */
function Files({ shots }: { shots: Shots }) {
  const camera = useRef<HTMLInputElement>(null);
  const files = useRef<HTMLInputElement>(null);
  const take = async (input: HTMLInputElement) => {
    const pictures = [...(input.files ?? [])];
    input.value = "";
    for (const picture of pictures) await shots.add(picture);
  };
  return (
    <>
      <button type="button" class="capture-file" onClick={() => files.current?.click()}>
        {text("phone-photo-file")}
      </button>
      <button type="button" class="main capture-camera" onClick={() => camera.current?.click()}>
        {text("capture-photo")}
      </button>
      <input
        ref={camera}
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        aria-label={text("capture-photo")}
        onChange={(event) => void take(event.currentTarget)}
      />
      <input
        ref={files}
        type="file"
        accept="image/*"
        multiple
        hidden
        aria-label={text("phone-photo-file")}
        onChange={(event) => void take(event.currentTarget)}
      />
    </>
  );
}

function Progress({ shots }: { shots: Shots }) {
  return (
    <>
      {shots.problem !== null && (
        <p class="wrong" role="alert">
          {say(shots.problem)}
        </p>
      )}
      <p role="status" data-kept={shots.kept}>
        {shots.waiting > 0 && `${text("capture-preparing", { count: shots.waiting })} `}
        {shots.kept > 0 && text("capture-kept", { count: shots.kept })}
      </p>
    </>
  );
}

function Menu({
  visit,
  area,
  shots,
  onMode,
  onClose,
}: {
  visit: Visit;
  /** Where one is: an own finding begins there. */
  area: string | null;
  shots: Shots;
  onMode: (mode: Mode) => void;
  onClose: () => void;
}) {
  const [hasNoCamera, setNoCamera] = useState(false);
  const count = unsorted(visit).length;
  const openFinder = async () => {
    const stream = await openCamera();
    if (stream === null) setNoCamera(true);
    else onMode({ of: "finder", stream });
  };
  return (
    <>
      <p class="hint">{text("capture-hint")}</p>
      <Progress shots={shots} />
      {hasNoCamera && (
        <p class="wrong" role="alert">
          {text("capture-no-camera")}
        </p>
      )}
      {count > 0 && (
        <a class="button" href={address({ screen: "sort", visit: visit.id })} onClick={onClose}>
          {text("phone-to-sort", { count })}
        </a>
      )}
      <div class="capture-choices">
        <a
          class="button"
          href={address({ screen: "own", visit: visit.id, item: area })}
          onClick={onClose}
        >
          {text("capture-own")}
        </a>
        <button type="button" onClick={() => onMode({ of: "engine" })}>
          {text("capture-engine")}
        </button>
        <button type="button" onClick={() => onMode({ of: "voice" })}>
          {text("phone-item-voice")}
        </button>
        <button type="button" onClick={() => onMode({ of: "note" })}>
          {text("capture-note")}
        </button>
        <button type="button" class="capture-wide" onClick={() => onMode({ of: "vin" })}>
          {text("capture-vin")}
        </button>
        <Files shots={shots} />
        <button type="button" onClick={() => void openFinder()}>
          {text("capture-row")}
        </button>
      </div>
      <button type="button" onClick={onClose}>
        {text("phone-close")}
      </button>
    </>
  );
}

export function CaptureSheet({ visit, onClose }: { visit: Visit; onClose: () => void }) {
  const [mode, setMode] = useState<Mode>({ of: "menu" });
  // where one was when it was opened: the sheet covers the cards, and moves none
  const near = useMemo(() => whereNow(visit), [visit]);
  const [area, setArea] = useState<string | null>(null);
  useEffect(() => {
    void near.then((found) => setArea(found.area ?? null));
  }, [near]);
  const shots = useShots(visit, near);
  const back = () => setMode({ of: "menu" });
  const codes = codesParts.use();
  if (mode.of === "vin") return codes && <codes.VinSheet visit={visit} onClose={onClose} />;
  const isFinder = mode.of === "finder";
  return (
    <Modal
      label={text("phone-capture")}
      className={isFinder ? "modal-all" : "modal-foot"}
      onClose={mode.of === "menu" ? onClose : back}
    >
      {mode.of === "menu" && (
        <Menu visit={visit} area={area} shots={shots} onMode={setMode} onClose={onClose} />
      )}
      {isFinder && (
        <Finder stream={mode.stream} onShot={(shot) => void shots.add(shot)} onClose={back}>
          <Progress shots={shots} />
        </Finder>
      )}
      {(mode.of === "engine" || mode.of === "voice") && (
        <Recording visit={visit} kind={mode.of} near={near} onClose={back} />
      )}
      {mode.of === "note" && <NoteForm visit={visit} near={near} onClose={back} />}
    </Modal>
  );
}
