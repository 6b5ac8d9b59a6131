/** The picture in the page before it is taken; one tap takes it. */

import { useEffect, useRef, useState } from "preact/hooks";
import { closeCamera, shoot } from "../../device/camera";
import { text } from "../../text/catalogue";

import "./photo-viewer.css";

export function CameraFinder({
  stream,
  onShot,
  onClose,
}: {
  stream: MediaStream;
  onShot: (shot: Blob) => void;
  onClose: () => void;
}) {
  const video = useRef<HTMLVideoElement>(null);
  const [isReady, setReady] = useState(false);
  useEffect(() => {
    const screen = video.current;
    if (screen === null) return;
    screen.srcObject = stream;
    // a finder that cannot play shows nothing; the file buttons are still there
    void screen.play().catch(() => undefined);
    return () => closeCamera(stream);
  }, [stream]);
  return (
    <div class="finder">
      <video
        ref={video}
        playsInline
        muted
        aria-label={text("phone-photo-finder")}
        onLoadedData={() => setReady(true)}
      />
      <div class="finder-row">
        <button type="button" onClick={onClose}>
          {text("phone-close")}
        </button>
        <button
          type="button"
          class="main"
          disabled={!isReady}
          onClick={async () => {
            const shot = video.current === null ? null : await shoot(video.current);
            if (shot !== null) onShot(shot);
          }}
        >
          {text("phone-photo-shoot")}
        </button>
      </div>
    </div>
  );
}
