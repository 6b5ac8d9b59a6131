/** The viewfinder: one shot after another, with light and zoom where the camera has them. */

import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Modal } from "../../components/capture/modal";
import { closeCamera, openCamera } from "../../device/camera";
import { CameraControls } from "../../device/camera-controls";
import { text } from "../../text/catalogue";

/** Light and zoom; nothing of what this camera lacks. */
function Controls({ controls }: { controls: CameraControls }) {
  const [isLit, setLit] = useState(false);
  const [zoom, setZoom] = useState(controls.zoom?.min ?? 1);
  return (
    <>
      {controls.zoom !== null && (
        <label class="finder-zoom">
          {text("capture-zoom")}
          <input
            type="range"
            {...controls.zoom}
            value={zoom}
            onInput={({ currentTarget }) => {
              setZoom(currentTarget.valueAsNumber);
              void controls.zoomTo(currentTarget.valueAsNumber);
            }}
          />
        </label>
      )}
      {controls.hasTorch && (
        <button
          type="button"
          aria-pressed={isLit}
          onClick={async () => setLit((await controls.light(!isLit)) ? !isLit : isLit)}
        >
          {text("capture-light")}
        </button>
      )}
    </>
  );
}

/** What the camera shows; `onReady` hears when there is a picture. */
export function Viewfinder({
  stream,
  controls,
  onReady,
  children,
}: {
  stream: MediaStream;
  /** What it can do, once it shows something. */
  controls: CameraControls | null;
  onReady: (video: HTMLVideoElement, controls: CameraControls) => void;
  children: ComponentChildren;
}) {
  const video = useRef<HTMLVideoElement>(null);
  useEffect(() => {
    const screen = video.current;
    if (screen === null) return;
    screen.srcObject = stream;
    // a finder that cannot play shows nothing; the phone's own camera is still there
    void screen.play().catch(() => undefined);
    return () => closeCamera(stream);
  }, [stream]);
  return (
    <>
      <video
        ref={video}
        playsInline
        muted
        aria-label={text("phone-photo-finder")}
        onLoadedData={({ currentTarget }) => onReady(currentTarget, new CameraControls(stream))}
      />
      {children}
      {controls !== null && <Controls controls={controls} />}
    </>
  );
}

export function Finder({
  stream,
  onShot,
  onClose,
  children,
}: {
  stream: MediaStream;
  onShot: (shot: Blob) => void;
  onClose: () => void;
  children?: ComponentChildren;
}) {
  const [camera, setCamera] = useState<[HTMLVideoElement, CameraControls] | null>(null);
  const [isShooting, setShooting] = useState(false);
  const shoot = async () => {
    if (camera === null) return;
    const [video, controls] = camera;
    setShooting(true);
    const shot = await controls.shoot(video);
    setShooting(false);
    // kept and recorded while the next one is taken
    if (shot !== null) onShot(shot);
  };
  return (
    <div class="finder-all">
      <Viewfinder
        stream={stream}
        controls={camera?.[1] ?? null}
        onReady={(video, controls) => setCamera([video, controls])}
      >
        {children}
      </Viewfinder>
      <div class="finder-row">
        <button type="button" onClick={onClose}>
          {text("capture-done")}
        </button>
        <button
          type="button"
          class="main"
          disabled={camera === null || isShooting}
          onClick={() => void shoot()}
        >
          {text("phone-photo-shoot")}
        </button>
      </div>
    </div>
  );
}

/** Over the screen, for whoever wants a picture of one thing. */
export function FinderOver({
  onNone,
  ...rest
}: {
  onShot: (shot: Blob) => void;
  onClose: () => void;
  /** There is no camera that the page may have. */
  onNone: () => void;
}) {
  const [stream, setStream] = useState<MediaStream | null>(null);
  useEffect(() => {
    let isThere = true;
    void openCamera().then((opened) => {
      if (!isThere) closeCamera(opened);
      else if (opened === null) onNone();
      else setStream(opened);
    });
    return () => {
      isThere = false;
    };
  }, []);
  if (stream === null) return null;
  return (
    <Modal label={text("phone-photo-finder")} className="modal-all" onClose={rest.onClose}>
      <Finder stream={stream} {...rest} />
    </Modal>
  );
}
