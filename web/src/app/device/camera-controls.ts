/** What a camera can do beside showing its picture: light, zoom, and a still of its full size. */

import { shoot } from "./camera";

/** Longer than this no still is waited for: some phones never answer. */
const STILL_LIMIT_MS = 4_000;

/** Not in every browser, nor in TypeScript's own types. */
interface MoreCapabilities extends MediaTrackCapabilities {
  torch?: boolean;
  zoom?: { min: number; max: number; step: number };
}

export class CameraControls {
  private readonly track: MediaStreamTrack | undefined;
  readonly hasTorch: boolean;
  /** null where there is nothing to zoom. */
  readonly zoom: { min: number; max: number; step: number } | null;

  constructor(stream: MediaStream) {
    this.track = stream.getVideoTracks()[0];
    const able = (this.track?.getCapabilities?.() ?? {}) as MoreCapabilities;
    this.hasTorch = able.torch === true;
    const { min = 1, max = 1, step = 0.1 } = able.zoom ?? {};
    this.zoom = max > min ? { min, max, step: step || 0.1 } : null;
  }

  private async apply(constraint: object): Promise<boolean> {
    try {
      await this.track?.applyConstraints({ advanced: [constraint as MediaTrackConstraintSet] });
      return true;
    } catch {
      // the camera said that it can and cannot now: the picture stays as it is
      return false;
    }
  }

  light(isOn: boolean): Promise<boolean> {
    return this.apply({ torch: isOn });
  }

  zoomTo(zoom: number): Promise<boolean> {
    return this.apply({ zoom });
  }

  /** A still of the camera's full size where it gives one, else the picture that is shown. */
  async shoot(video: HTMLVideoElement): Promise<Blob | null> {
    if (this.track === undefined || typeof ImageCapture !== "function") return shoot(video);
    const late = new Promise<null>((resolve) => setTimeout(resolve, STILL_LIMIT_MS, null));
    try {
      const still = await Promise.race([new ImageCapture(this.track).takePhoto(), late]);
      return still ?? (await shoot(video));
    } catch {
      return shoot(video);
    }
  }
}
