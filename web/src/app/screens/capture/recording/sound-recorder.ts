/** Sound from the phone's microphone: stored by the second, measured while it comes. */

import type { Json } from "../../../../shared/event";
import { newId } from "../../../../store/encoding";
import { Takes } from "../../../../store/takes";
import { stampText } from "../../../device/local-time";
import type { Page } from "../../../state/page";
import type { Sound } from "../../../visit/capture/captured";
import { keepTake, takeLock } from "./keep-take";

/** After so long a recording ends by itself. */
export const LONGEST_MS: Record<Sound, number> = { engine: 30_000, voice: 5 * 60_000 };
const BITS_PER_S: Record<Sound, number> = { engine: 96_000, voice: 32_000 };
const PIECE_MS = 1_000;
/** Longer than the time between two looks at the meter: no beat falls between them. */
const METER_SAMPLES = 8_192;
/** WebM where there is a choice: what is left of one that was cut still plays. */
const TYPES = [
  ...["audio/webm;codecs=opus", "audio/webm", "audio/mp4;codecs=mp4a.40.2", "audio/mp4"],
  "audio/ogg;codecs=opus",
];

/** An engine is heard as it is; a voice as a phone makes it plain. */
function constraints(kind: Sound): MediaTrackConstraints {
  const isProcessed = kind === "voice";
  return {
    channelCount: 1,
    echoCancellation: isProcessed,
    noiseSuppression: isProcessed,
    autoGainControl: isProcessed,
  };
}

/** The first type that this browser records; null where it records none. */
export function recordableType(): string | null {
  if (typeof MediaRecorder !== "function") return null;
  return TYPES.find((type) => MediaRecorder.isTypeSupported(type)) ?? null;
}

/** The microphone; null where the page may not have it, or there is none. */
export async function openMicrophone(kind: Sound): Promise<MediaStream | null> {
  if (recordableType() === null) return null;
  try {
    return await navigator.mediaDevices.getUserMedia({ audio: constraints(kind) });
  } catch {
    return null;
  }
}

export class SoundRecorder {
  private readonly take = newId();
  private readonly takes: Takes;
  private readonly recorder: MediaRecorder;
  private readonly context = new AudioContext();
  private readonly analyser: AnalyserNode;
  private readonly samples: Float32Array<ArrayBuffer>;
  private readonly type: string;
  private began_ms = 0;
  private pieces = 0;
  private storing: Promise<void> = Promise.resolve();
  private isWanted = true;
  private release: () => void = () => undefined;
  /** Resolves with the recording's hash once all of it is kept; null for one that was cancelled. */
  readonly kept: Promise<string | null>;

  constructor(
    private readonly page: Page,
    private readonly visit: string,
    readonly kind: Sound,
    private readonly stream: MediaStream,
  ) {
    this.takes = new Takes(page.store);
    const options = { audioBitsPerSecond: BITS_PER_S[kind] };
    const mimeType = recordableType() ?? "";
    this.recorder = new MediaRecorder(stream, { ...options, mimeType });
    this.type = mimeType.split(";")[0] ?? "";
    this.analyser = this.context.createAnalyser();
    this.analyser.fftSize = METER_SAMPLES;
    this.samples = new Float32Array(METER_SAMPLES);
    this.context.createMediaStreamSource(stream).connect(this.analyser);
    void this.context.resume();
    this.kept = new Promise((resolve, reject) => {
      this.recorder.onstop = () => void this.finish().then(resolve, reject);
    });
    this.recorder.ondataavailable = ({ data }) => this.store(data);
    // a call, or another app that takes the microphone: what there is, is kept
    for (const track of stream.getTracks()) track.onended = () => this.stop();
  }

  /** How long it has gone on, ms. */
  get length_ms(): number {
    return this.began_ms === 0 ? 0 : performance.now() - this.began_ms;
  }

  /** Begin; the tab holds a lock meanwhile, so that no other takes the recording for left behind. */
  async start(near: Json, item?: string): Promise<void> {
    const { take, visit, kind, type } = this;
    await new Promise<void>((held) => {
      const until = new Promise<void>((resolve) => {
        this.release = resolve;
      });
      if (navigator.locks === undefined) {
        held();
        return;
      }
      void navigator.locks.request(takeLock(take), () => {
        held();
        return until;
      });
    });
    const row = { take, visit, kind, type, taken: stampText(), near };
    await this.takes.begin(item === undefined ? row : { ...row, item });
    this.began_ms = performance.now();
    this.recorder.start(PIECE_MS);
  }

  /** The loudest since the last look, from 0 to 1. */
  level(): number {
    this.analyser.getFloatTimeDomainData(this.samples);
    let loudest = 0;
    for (const sample of this.samples) loudest = Math.max(loudest, Math.abs(sample));
    return Math.min(1, loudest);
  }

  private store(data: globalThis.Blob): void {
    if (data.size === 0) return;
    const number = this.pieces;
    this.pieces += 1;
    const until_ms = this.length_ms;
    this.storing = this.storing.then(async () => {
      const bytes = await data.arrayBuffer();
      await this.takes.add({ take: this.take, number, until_ms, bytes });
    });
    // without room nothing more is recorded; what is stored is kept
    this.storing.catch(() => this.stop());
    if (this.length_ms >= LONGEST_MS[this.kind]) this.stop();
  }

  stop(): void {
    if (this.recorder.state !== "inactive") this.recorder.stop();
  }

  /** End it and keep nothing of it. */
  cancel(): void {
    this.isWanted = false;
    this.stop();
  }

  private async finish(): Promise<string | null> {
    for (const track of this.stream.getTracks()) track.stop();
    void this.context.close();
    try {
      const full = await this.storing.catch((problem: unknown) => problem);
      if (!this.isWanted) {
        await this.takes.forget(this.take);
        return null;
      }
      const sha256 = await keepTake(this.page, this.take);
      if (full !== undefined) throw full;
      return sha256;
    } finally {
      this.release();
    }
  }
}
