/** The ways to a photo: the camera within the page, which comes when it is wanted, and a file; and a voice note. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import type { Said } from "../../../shared/said";
import { photoServices } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { recordPhoto } from "../../visit/capture/record-photo";
import type { Visit } from "../../visit/visit";
import { captureParts } from "../capture/parts";
import { domId } from "../item/dom-id";

/** The phone's own camera, where the page may not have it; and a file from its memory. */
function FileInputs({
  id,
  camera,
  onFiles,
}: {
  id: string;
  camera: RefObject<HTMLInputElement | null>;
  onFiles: (input: HTMLInputElement) => Promise<void>;
}) {
  return (
    <>
      <input
        ref={camera}
        class="file"
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        onChange={(event) => void onFiles(event.currentTarget)}
      />
      <label class="button" for={`${id}-file`}>
        {text("phone-photo-file")}
      </label>
      <input
        id={`${id}-file`}
        class="file"
        type="file"
        accept="image/*"
        multiple
        onChange={(event) => void onFiles(event.currentTarget)}
      />
    </>
  );
}

interface FinderProps {
  onShot: (shot: Blob) => void;
  onClose: () => void;
  onNone: () => void;
}

function Finder(props: FinderProps) {
  const loaded = captureParts.use();
  const hasFailed = captureParts.failed.value;
  useEffect(() => {
    if (hasFailed) props.onNone();
  }, [hasFailed]);
  return loaded === null ? null : <loaded.FinderOver {...props} />;
}

function Voice(props: { visit: Visit; item: Item; onClose: () => void }) {
  const loaded = captureParts.use();
  return loaded === null ? null : <loaded.VoiceOver {...props} />;
}

export function PhotoButtons({ visit, item, place }: { visit: Visit; item: Item; place?: string }) {
  const [busy, setBusy] = useState(0);
  const [problem, setProblem] = useState<Said | null>(null);
  const [isFinding, setFinding] = useState(false);
  const [isTalking, setTalking] = useState(false);
  const file = useRef<HTMLInputElement>(null);
  const keep = async (picture: Blob) => {
    setProblem(null);
    setBusy((count) => count + 1);
    const extra = place === undefined ? {} : { place };
    const failure = await recordPhoto(
      photoServices,
      visit,
      `items/${item.id}/photos`,
      picture,
      extra,
    );
    setBusy((count) => count - 1);
    if (failure !== null) setProblem(failure);
  };
  const takeFiles = async (input: HTMLInputElement) => {
    for (const picture of [...(input.files ?? [])]) await keep(picture);
    input.value = "";
  };
  return (
    <>
      {isFinding && (
        <Finder
          onShot={(shot) => {
            setFinding(false);
            void keep(shot);
          }}
          onClose={() => setFinding(false)}
          onNone={() => {
            setFinding(false);
            file.current?.click();
          }}
        />
      )}
      {isTalking && <Voice visit={visit} item={item} onClose={() => setTalking(false)} />}
      <div class="photo-buttons photo-ways">
        <button type="button" onClick={() => setFinding(true)}>
          {text("phone-photo-camera")}
        </button>
        {place === undefined && (
          <button type="button" onClick={() => setTalking(true)}>
            {text("phone-item-voice")}
          </button>
        )}
        <FileInputs
          id={`photo-${domId(item)}${place === undefined ? "" : `-${place}`}`}
          camera={file}
          onFiles={takeFiles}
        />
      </div>
      {busy > 0 && <p role="status">{text("phone-photo-preparing")}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {say(problem)}
        </p>
      )}
    </>
  );
}
