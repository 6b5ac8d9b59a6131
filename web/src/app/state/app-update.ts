/**
 * Renewal of the app. A new version waits; it is offered on the list of cars, and taken by itself
 * only at a safe point: the list of cars is shown, nothing is unsent, and the page is in the
 * background.
 */

import { scriptAddress } from "../device/trusted-types";
import type { AppState } from "./app-state";
import type { Router } from "./router";

const SEARCH_LIMIT_MS = 20_000;

export class AppUpdate {
  private registration: ServiceWorkerRegistration | undefined;
  private offered: ServiceWorker | null = null;
  private isWanted = false;

  constructor(
    private readonly state: AppState,
    private readonly router: Router,
  ) {}

  /** The person says so, or nothing can be lost: let the new version take over. */
  take(): void {
    this.isWanted = true;
    // who waits is asked now: what was offered may have been replaced by a newer one since
    const { waiting, active } = this.registration ?? {};
    if (waiting) {
      active?.postMessage("make-way");
      waiting.postMessage("take-over");
    } else if (this.offered?.state === "activating" || this.offered?.state === "activated") {
      // another page took it; no change of who controls this one is still to come
      location.reload();
    } else this.state.updateReady.value = false;
  }

  /** Look for a newer version of the app and take it; whether there is one. */
  async find(): Promise<boolean> {
    const registration = await navigator.serviceWorker?.getRegistration("/app/");
    this.registration = registration;
    await registration?.update().catch(() => undefined);
    const until_ms = Date.now() + SEARCH_LIMIT_MS;
    while (registration?.installing != null && Date.now() < until_ms) {
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
    if (registration?.waiting == null) return false;
    this.offer(registration.waiting);
    this.take();
    return true;
  }

  /** Register the service worker, and offer what is newer from now on. */
  async start(): Promise<void> {
    // in development an old page must not come from its cache
    if (import.meta.env.DEV || !("serviceWorker" in navigator)) return;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      // only the page that asked for it starts anew; any other goes on with what it has loaded
      if (this.isWanted) location.reload();
    });
    try {
      const registration = await navigator.serviceWorker.register(scriptAddress("/app/sw.js"), {
        scope: "/app/",
        updateViaCache: "none",
      });
      this.watch(registration);
    } catch {
      // without the worker the app still records; it only does not start without a network
    }
  }

  private watch(registration: ServiceWorkerRegistration): void {
    this.registration = registration;
    if (registration.active !== null) this.offer(registration.waiting);
    const follow = () => {
      const coming = registration.installing;
      // The first version that a browser takes along renews nothing. Who controls the page does not
      // tell: in WebKit the new worker already does when it says that it is installed.
      if (registration.active === null) return;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed") this.offer(coming);
      });
    };
    registration.addEventListener("updatefound", follow);
    // the page's own start has the browser look too: what it found by now is told by no event
    follow();
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") {
        void registration.update().catch(() => undefined);
      } else if (this.isSafe()) this.take();
    });
  }

  private isSafe(): boolean {
    const { alarm, syncState, updateReady } = this.state;
    return (
      updateReady.value &&
      this.router.route.value.screen === "cars" &&
      alarm.value === null &&
      syncState.value.where === "server"
    );
  }

  private offer(worker: ServiceWorker | null): void {
    if (worker === null) return;
    this.offered = worker;
    this.state.updateReady.value = true;
  }
}
