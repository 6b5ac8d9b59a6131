/** The ways to a photo: the camera within the page, and a file. */

import type { RefObject } from "preact";
import { useRef, useState } from "preact/hooks";
import type { Item } from "../../../shared/contract";
import type { Said } from "../../../shared/said";
import { openCamera } from "../../device/camera";
import { photoServices } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { recordPhoto } from "../../visit/capture/record-photo";
import type { Visit } from "../../visit/visit";
import { domId } from "../item/dom-id";
import { CameraFinder } from "./camera-finder";

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

export function PhotoButtons({ visit, item, place }: { visit: Visit; item: Item; place?: string }) {
  const [busy, setBusy] = useState(0);
  const [problem, setProblem] = useState<Said | null>(null);
  const [stream, setStream] = useState<MediaStream | null>(null);
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
  const camera = async () => {
    const opened = await openCamera();
    if (opened === null) file.current?.click();
    else setStream(opened);
  };
  return (
    <>
      {stream !== null && (
        <CameraFinder
          stream={stream}
          onShot={(shot) => {
            setStream(null);
            void keep(shot);
          }}
          onClose={() => setStream(null)}
        />
      )}
      <div class="photo-buttons">
        <button type="button" onClick={() => void camera()}>
          {text("phone-photo-camera")}
        </button>
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
