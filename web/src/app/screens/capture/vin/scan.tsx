/** The car's number by its bar code: the camera's picture as it runs, a photo, a file, or typed. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { InCode } from "../../../../shared/vin-code";
import { vinIn } from "../../../../shared/vin-code";
import { openCamera } from "../../../device/camera";
import type { CameraControls } from "../../../device/camera-controls";
import { CodeReader } from "../../../device/code-reader";
import { text } from "../../../text/catalogue";
import { Viewfinder } from "../finder";

/** Of a long code stands as much on the screen. */
const SHOWN_LETTERS = 60;

/** Why what was read is no number, or that nothing was; null where the number itself is meant. */
function problemOf(found: InCode[] | null): string | null {
  if (found === null) return text("codes-vin-no-reader");
  const forbidden = found.find((one) => one.is === "forbidden");
  if (forbidden !== undefined) {
    const { text: read, letter, position } = forbidden;
    return text("codes-vin-forbidden", { read, letter, position });
  }
  const [other] = found;
  if (other === undefined) return text("codes-vin-no-code");
  if (other.is !== "other") return null;
  const { text: read } = other;
  const shown = read.length > SHOWN_LETTERS ? `${read.slice(0, SHOWN_LETTERS)}…` : read;
  return text("codes-vin-other", { read: shown });
}

/** One picture after another; a number counts once two of them say the same. */
function useFilm(
  reader: CodeReader,
  video: HTMLVideoElement | null,
  onFound: (found: InCode[] | null) => void,
): void {
  useEffect(() => {
    if (video === null) return;
    let isOver = false;
    let before = "";
    const look = async (): Promise<void> => {
      const picture = await createImageBitmap(video).catch(() => null);
      const texts = picture === null ? [] : await reader.read(picture, false);
      if (isOver) return;
      const [first] = texts ?? [];
      if (texts === null) onFound(null);
      else if (first !== undefined && first === before) onFound(texts.map(vinIn));
      // turned pictures see nothing between two that do
      if (first !== undefined) before = first;
      if (texts !== null) setTimeout(() => void look());
    };
    void look();
    return () => {
      isOver = true;
    };
  }, [reader, video]);
}

/** A picture of the phone's own camera, or one that is there. */
function Stills({ onPicture }: { onPicture: (file: Blob) => void }) {
  const camera = useRef<HTMLInputElement>(null);
  const files = useRef<HTMLInputElement>(null);
  const take = (input: HTMLInputElement) => {
    const [picture] = input.files ?? [];
    if (picture !== undefined) onPicture(picture);
    input.value = "";
  };
  return (
    <>
      <button type="button" onClick={() => files.current?.click()}>
        {text("phone-photo-file")}
      </button>
      <button type="button" onClick={() => camera.current?.click()}>
        {text("capture-photo")}
      </button>
      <input
        ref={camera}
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        aria-label={text("capture-photo")}
        onChange={({ currentTarget }) => take(currentTarget)}
      />
      <input
        ref={files}
        type="file"
        accept="image/*"
        hidden
        aria-label={text("phone-photo-file")}
        onChange={({ currentTarget }) => take(currentTarget)}
      />
    </>
  );
}

interface ScanProps {
  /** Just dealt with: the camera may still show it. */
  known: string | null;
  onVin: (vin: string) => void;
  onType: () => void;
  onClose: () => void;
}

/** Opens the camera; "none" where there is no picture of it to be had. */
function useCamera(): MediaStream | "none" | null {
  const [stream, setStream] = useState<MediaStream | "none" | null>(null);
  useEffect(() => {
    let isGone = false;
    void openCamera().then((opened) => {
      if (isGone) for (const track of opened?.getTracks() ?? []) track.stop();
      else setStream(opened ?? "none");
    });
    return () => {
      isGone = true;
    };
  }, []);
  return stream;
}

export function Scan({ known, onVin, onType, onClose }: ScanProps) {
  const stream = useCamera();
  const [camera, setCamera] = useState<[HTMLVideoElement, CameraControls] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [isReading, setReading] = useState(false);
  const [reader] = useState(() => new CodeReader());
  useEffect(() => () => reader.close(), [reader]);
  const hear = (found: InCode[] | null) => {
    const read = found?.find((one) => one.is === "vin");
    if (read?.is === "vin") onVin(read.vin);
    else setProblem(problemOf(found));
  };
  useFilm(reader, camera?.[0] ?? null, (found) => {
    if (!found?.some((one) => one.is === "vin" && one.vin === known)) hear(found);
  });
  const read = async (file: Blob) => {
    setReading(true);
    setProblem(null);
    const picture = await createImageBitmap(file).catch(() => null);
    const texts = picture === null ? [] : await reader.read(picture, true);
    setReading(false);
    if (picture === null) setProblem(text("phone-error-photo"));
    else hear(texts?.map(vinIn) ?? null);
  };
  return (
    <div class="finder-all">
      <p>{text("codes-vin-hint")}</p>
      {stream !== null && stream !== "none" && (
        <Viewfinder
          stream={stream}
          controls={camera?.[1] ?? null}
          onReady={(video, controls) => setCamera([video, controls])}
        >
          {null}
        </Viewfinder>
      )}
      {stream === "none" && <p>{text("capture-no-camera")}</p>}
      <p role="status">
        {isReading ? text("codes-vin-reading") : (problem ?? text("codes-vin-looking"))}
      </p>
      <div class="vin-ways">
        <Stills onPicture={(file) => void read(file)} />
        <button type="button" onClick={onType}>
          {text("codes-vin-type")}
        </button>
        <button type="button" onClick={onClose}>
          {text("phone-close")}
        </button>
      </div>
    </div>
  );
}
