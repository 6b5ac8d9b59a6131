/** When a page takes a newer version of the app: from a worker that waits now, or that took over. */

import { signal } from "@preact/signals";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { AppState } from "../../../src/app/state/app-state";
import { AppUpdate } from "../../../src/app/state/app-update";
import type { Router } from "../../../src/app/state/router";

/** A version of the app, as the browser shows its service worker to a page. */
class Worker extends EventTarget {
  readonly told: string[] = [];

  constructor(public state: ServiceWorkerState) {
    super();
  }

  postMessage(words: string): void {
    this.told.push(words);
  }
}

/** What the browser keeps of this origin; the standard's names (W3C Service Workers, section 3.2). */
class Registration extends EventTarget {
  installing: Worker | null = null;
  waiting: Worker | null = null;
  active: Worker | null = new Worker("activated");

  /** A newer version has been loaded. */
  bring(): Worker {
    const coming = new Worker("installing");
    this.installing = coming;
    this.dispatchEvent(new Event("updatefound"));
    if (this.waiting !== null) this.waiting.state = "redundant";
    coming.state = "installed";
    this.waiting = coming;
    this.installing = null;
    coming.dispatchEvent(new Event("statechange"));
    return coming;
  }

  /** The version that waits takes over, whoever said so; every page it controls hears of it. */
  activate(): void {
    if (this.waiting !== null) this.waiting.state = "activated";
    this.active = this.waiting;
    this.waiting = null;
    container.dispatchEvent(new Event("controllerchange"));
  }
}

class Container extends EventTarget {
  controller: Worker | null = null;
  readonly register = async () => registration;
}

let registration: Registration;
let container: Container;
let reload: ReturnType<typeof vi.fn>;
let updateReady: AppState["updateReady"];
let update: AppUpdate;

beforeEach(async () => {
  registration = new Registration();
  container = new Container();
  container.controller = registration.active;
  reload = vi.fn();
  vi.stubEnv("DEV", false);
  vi.stubGlobal("navigator", { serviceWorker: container });
  vi.stubGlobal("document", new EventTarget());
  vi.stubGlobal("location", { href: "https://x/app/", origin: "https://x", reload });
  updateReady = signal(false);
  update = new AppUpdate({ updateReady } as AppState, {} as Router);
});
afterEach(() => {
  vi.unstubAllEnvs();
  vi.unstubAllGlobals();
});

describe("a newer version of the app", () => {
  test("is offered and, when a person takes it, starts the page anew", async () => {
    await update.start();
    const newer = registration.bring();
    expect(updateReady.value).toBe(true);
    expect(newer.told).toEqual([]);
    update.take();
    expect(newer.told).toEqual(["take-over"]);
    expect(reload).not.toHaveBeenCalled();
    registration.activate();
    expect(reload).toHaveBeenCalledOnce();
  });

  test("asks the one that runs to end what it is at", async () => {
    await update.start();
    const running = registration.active;
    registration.bring();
    update.take();
    expect(running?.told).toEqual(["make-way"]);
  });

  test("is the one that waits now, not the one that was offered first", async () => {
    await update.start();
    const first = registration.bring();
    registration.dispatchEvent(new Event("updatefound")); // and nobody is installing any more
    const second = new Worker("installed");
    first.state = "redundant";
    registration.waiting = second;
    update.take();
    expect(second.told).toEqual(["take-over"]);
    expect(first.told).toEqual([]);
  });

  test("that another page took is loaded by a tap here too, and not before", async () => {
    await update.start();
    registration.bring();
    registration.activate();
    expect(reload).not.toHaveBeenCalled();
    update.take();
    expect(reload).toHaveBeenCalledOnce();
  });

  test("is taken in the first life of a phone too, before which no version was there", async () => {
    container.controller = null;
    registration.active = null;
    await update.start();
    registration.bring();
    expect(updateReady.value).toBe(false);
    registration.activate();
    expect(reload).not.toHaveBeenCalled();
    registration.bring();
    expect(updateReady.value).toBe(true);
    update.take();
    registration.activate();
    expect(reload).toHaveBeenCalledOnce();
  });

  test("is no longer offered where it is gone", async () => {
    await update.start();
    const newer = registration.bring();
    expect(updateReady.value).toBe(true);
    newer.state = "redundant";
    registration.waiting = null;
    update.take();
    expect(updateReady.value).toBe(false);
    expect(reload).not.toHaveBeenCalled();
  });
});

test("a version that was coming before this page began to listen is offered too", async () => {
  const early = new Worker("installing");
  registration.installing = early;
  const other = new AppUpdate(
    { updateReady } as unknown as AppState,
    { route: signal({ screen: "cars" }) } as unknown as Router,
  );
  await other.start();
  expect(updateReady.value).toBe(false);
  early.state = "installed";
  early.dispatchEvent(new Event("statechange"));
  expect(updateReady.value).toBe(true);
});
