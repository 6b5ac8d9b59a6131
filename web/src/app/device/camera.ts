/** The camera within the page: opening another app for a picture can cost the page its life. */

export async function openCamera(): Promise<MediaStream | null> {
  if (navigator.mediaDevices?.getUserMedia === undefined) return null;
  try {
    return await navigator.mediaDevices.getUserMedia({
      audio: false,
      video: {
        facingMode: { ideal: "environment" },
        width: { ideal: 1920 },
        height: { ideal: 1440 },
      },
    });
  } catch {
    // refused, busy or not there: the phone's own camera by file does it
    return null;
  }
}

export function closeCamera(stream: MediaStream | null): void {
  for (const track of stream?.getTracks() ?? []) track.stop();
}

/** The picture that the finder shows now, as a JPEG of the camera's own size. */
export async function shoot(video: HTMLVideoElement): Promise<Blob | null> {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  const pen = canvas.getContext("2d");
  if (pen === null || canvas.width === 0) return null;
  pen.drawImage(video, 0, 0);
  const blob = await new Promise<Blob | null>((resolve) =>
    canvas.toBlob(resolve, "image/jpeg", 0.9),
  );
  canvas.width = 0;
  canvas.height = 0;
  return blob;
}
