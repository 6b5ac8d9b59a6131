/** The one page that this window shows, for its components; whatever computes is handed what it needs. */

import { JudgeWorkers } from "../device/judge-workers";
import { PhotoIntake } from "../device/photo-intake";
import { WakeLock } from "../device/wake-lock";
import { AppUpdate } from "./app-update";
import { Page } from "./page";
import { Router } from "./router";

/** Written as plain files (`bradawl phone-app`), the app has no server that it could ask. */
export const isAlone = "alone" in document.documentElement.dataset;
export const judges = new JudgeWorkers();
export const page = new Page({
  judges,
  channel: new BroadcastChannel("bradawl"),
  hostname: location.hostname,
  isAlone,
});
export const { authority, authorityKept, bundles, facts, log, open, pendingInput, photos } = page;
export const { sellerMode, store, sync } = page;
export const { alarm, notice, preferences, syncState, updateReady, vanished } = page.state;
export const photoIntake = new PhotoIntake(photos);
export const router = new Router(window, facts, notice);
export const appUpdate = new AppUpdate(page.state, router);
export const wakeLock = new WakeLock();
export const photoServices = { intake: photoIntake, photos, state: page.state };
