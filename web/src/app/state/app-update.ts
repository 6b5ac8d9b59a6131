/**
 * Renewal of the app. A new version waits; it is offered on the list of cars, and taken by itself
 * only at a safe point: the list of cars is shown, nothing is unsent, and the page is in the
 * background.
 */

import { scriptAddress } from "../device/trusted-types";
import { alarm, syncState, updateReady } from "./app-state";
import { route } from "./router";

let waiting: ServiceWorker | null = null;
let wanted = false;

function offer(worker: ServiceWorker | null): void {
  if (worker === null) return;
  waiting = worker;
  updateReady.value = true;
}

/** The person says so, or nothing can be lost: let the new version take over. */
export function takeUpdate(): void {
  wanted = true;
  waiting?.postMessage("take-over");
}

const LOOKED_FOR_MS = 20_000;

/** Look for a newer version of the app and take it; whether there is one. */
export async function findUpdate(): Promise<boolean> {
  const registration = await navigator.serviceWorker?.getRegistration("/app/");
  await registration?.update().catch(() => undefined);
  const until_ms = Date.now() + LOOKED_FOR_MS;
  while (registration?.installing != null && Date.now() < until_ms) {
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  if (registration?.waiting == null) return false;
  offer(registration.waiting);
  takeUpdate();
  return true;
}

export async function registerServiceWorker(): Promise<void> {
  // under `make dev` a page must come from the disk, not from a worker's cache
  if (import.meta.env.DEV || !("serviceWorker" in navigator)) return;
  const hadOne = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // only the page that asked for it starts anew; any other goes on with what it has loaded
    if (hadOne && wanted) location.reload();
  });
  try {
    const registration = await navigator.serviceWorker.register(scriptAddress("/app/sw.js"), {
      scope: "/app/",
      updateViaCache: "none",
    });
    if (registration.active !== null) offer(registration.waiting);
    registration.addEventListener("updatefound", () => {
      const coming = registration.installing;
      // The first version that a browser takes along renews nothing. Who controls the page does not
      // tell: in WebKit the new worker already does when it says that it is installed.
      if (registration.active === null) return;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed") offer(coming);
      });
    });
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") {
        void registration.update().catch(() => undefined);
      } else if (
        updateReady.value &&
        route.value.screen === "cars" &&
        alarm.value === null &&
        syncState.value.where === "server"
      ) {
        takeUpdate();
      }
    });
  } catch {
    // without the worker the app still records; it only does not start without a network
  }
}
