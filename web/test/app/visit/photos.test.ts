/** From a camera's file to a photo in the record, with a worker that a test answers for. */

import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { PhotoIntake, PhotoProblem, type PhotoWorker } from "../../../src/app/device/photo-intake";
import type { Page } from "../../../src/app/state/page";
import { recordPhoto } from "../../../src/app/visit/capture/record-photo";
import type { Visit } from "../../../src/app/visit/visit";
import type { PhotoAnswer, PhotoRequest, ReadyPhoto } from "../../../src/shared/photo-messages";
import { message } from "../../../src/shared/said";
import { begin, bundle, closePages, eventually, newAppPhone } from "../pages";

let page: Page;
let visit: Visit;
beforeEach(async () => {
  vi.stubGlobal("fetch", () => Promise.reject(new TypeError("no network")));
  page = await newAppPhone();
  visit = await begin(page);
});
afterEach(async () => {
  await closePages();
  vi.unstubAllGlobals();
});

/** A worker that keeps what it is asked, for the test to answer. */
class StandIn implements PhotoWorker {
  onmessage: ((event: MessageEvent<PhotoAnswer>) => void) | null = null;
  onerror: ((event: ErrorEvent) => void) | null = null;
  requests: PhotoRequest<Blob>[] = [];
  isEnded = false;

  postMessage(request: PhotoRequest<Blob>): void {
    this.requests.push(request);
  }

  terminate(): void {
    this.isEnded = true;
  }

  answer(answer: PhotoAnswer): void {
    this.onmessage?.({ data: answer } as MessageEvent<PhotoAnswer>);
  }
}

const file = new Blob(["a picture"]);

function ready(change: Partial<ReadyPhoto> = {}): ReadyPhoto {
  const bytes = new TextEncoder().encode("ready").buffer as ArrayBuffer;
  return {
    ...{ bytes, type: "image/jpeg", width: 1600, height: 1200, taken: null, place: null },
    ...{ thumb: null, ...change },
  };
}

describe("the worker", () => {
  test("answers each picture by its number, in whatever order", async () => {
    const worker = new StandIn();
    const intake = new PhotoIntake(page.photos, () => worker);
    const [first, second] = [intake.prepare(file), intake.prepare(file)];
    const [one, two] = worker.requests.map(({ id }) => id) as [number, number];
    worker.answer({ id: two, photo: ready({ width: 2 }) });
    worker.answer({ id: one, problem: message("phone-error-photo-empty") });
    await expect(first).rejects.toThrow(PhotoProblem);
    expect((await second).width).toBe(2);
  });

  test("that fails fails all its pictures with a sentence, and the next gets another worker", async () => {
    const workers: StandIn[] = [];
    const intake = new PhotoIntake(page.photos, () => {
      workers.push(new StandIn());
      return workers.at(-1) as StandIn;
    });
    const waiting = [intake.prepare(file), intake.prepare(file)];
    workers[0]?.onerror?.({} as ErrorEvent);
    for (const photo of waiting) await expect(photo).rejects.toThrow("phone-error-photo");
    expect(workers[0]?.isEnded).toBe(true);
    const again = intake.prepare(file);
    workers[1]?.answer({ id: workers[1].requests[0]?.id as number, photo: ready() });
    expect((await again).width).toBe(1600);
  });
});

describe("a photo of an item", () => {
  const [item] = bundle.items as [(typeof bundle.items)[0]];
  const record = (photo: ReadyPhoto, extra = {}) =>
    recordPhoto(
      { intake: { prepare: async () => photo }, photos: page.photos, state: page.state },
      visit,
      `items/${item.id}/photos`,
      file,
      extra,
    );
  const recorded = () =>
    Object.entries(visit.cellsOf(item.id)).map(([put, cell]) => [put.split("/")[2], cell.value]);

  test("is stored before it is recorded, with what it shows and when it was taken", async () => {
    const taken = "2026-11-25T09:31:00-06:00";
    expect(await record(ready({ taken }), { place: "bonnet", caption: "close up" })).toBeNull();
    const [[kind, value]] = recorded() as [[string, Record<string, unknown>]];
    expect(kind).toBe("photos");
    expect(value).toEqual({
      ...{ caption: "close up", place: "bonnet", taken, width: 1600, height: 1200 },
      ...{ bytes: 5, type: "image/jpeg" },
    });
    expect(await page.photos.unsent()).toHaveLength(1);
  });

  test("gives the visit its place only where the person wants that and none is noted", async () => {
    await record(ready({ place: "48.20833, -16.37000" }));
    expect(visit.text("about/place")).toBe("");
    await page.state.setPreferences({ photoPlace: true });
    await record(ready({ place: "48.20833, -16.37000" }));
    expect(visit.text("about/place")).toBe("48.20833, -16.37000");
    await record(ready({ place: "1.00000, 1.00000" }));
    expect(visit.text("about/place")).toBe("48.20833, -16.37000");
  });

  test("that cannot be used says why and records nothing", async () => {
    const intake = { prepare: () => Promise.reject(new PhotoProblem("No picture.")) };
    const services = { intake, photos: page.photos, state: page.state };
    expect(await recordPhoto(services, visit, `items/${item.id}/photos`, file)).toBe("No picture.");
    expect(recorded()).toEqual([]);
    expect(page.state.alarm.value).toBeNull();
  });

  test("for which there is no room raises the alarm, and the same is tried again", async () => {
    vi.spyOn(page.photos, "keep").mockRejectedValueOnce(new DOMException("", "QuotaExceededError"));
    expect(await record(ready())).toEqual(message("phone-alarm-quota"));
    expect(recorded()).toEqual([]);
    page.state.alarm.value?.again?.();
    await eventually(() => expect(recorded()).toHaveLength(1));
  });
});
