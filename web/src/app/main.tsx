/**
 * The start: what the first screen shows is read, all at once, and drawn; network, judge and
 * renewal come behind it.
 */

import { render } from "preact";
import { StoreTooOld } from "../store/database";
import "../style/tokens.css";
import "../style/app.css";
import "../style/troubles.css";
import { App } from "./app";
import { OldStorage } from "./screens/old-store";
import { restoreSeller } from "./screens/seller-view";
import { alarm, preferences } from "./state/app-state";
import { registerServiceWorker } from "./state/app-update";
import { showVisit } from "./state/open-visit";
import { followAddress, route } from "./state/router";
import { facts, log } from "./state/storage";
import { startSyncing, watchStorage } from "./state/sync-schedule";
import { words } from "./text/en";

/** A visit that others wrote to is folded first; the frame around it does not wait for that. */
const PATIENCE_MS = 500;

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** When the first screen is drawn and can be tapped; at once where nothing is drawn. */
function drawn(): Promise<void> {
  const frame = new Promise<void>((resolve) => {
    requestAnimationFrame(() => setTimeout(resolve));
  });
  return Promise.race([frame, pause(PATIENCE_MS)]);
}

async function start(): Promise<void> {
  const root = document.getElementById("app");
  if (root === null) return;
  watchStorage();
  try {
    const placed = followAddress();
    const opened = placed.then(() => {
      const now = route.value;
      return "visit" in now ? showVisit(now.visit) : undefined;
    });
    // where the storage is not to be had, the first to say so is enough
    opened.catch(() => undefined);
    const [known] = await Promise.all([
      facts.read("preferences"),
      placed,
      log.identity.get(),
      restoreSeller(),
    ]);
    preferences.value = { ...preferences.value, ...known };
    await Promise.race([opened, pause(PATIENCE_MS)]);
  } catch (problem) {
    if (problem instanceof StoreTooOld) {
      root.textContent = "";
      render(<OldStorage />, root);
      return;
    }
    alarm.value = {
      text: problem instanceof Error ? problem.message : words.alarm.write,
      again: () => location.reload(),
    };
  }
  root.textContent = "";
  render(<App />, root);
  await drawn();
  startSyncing();
  await registerServiceWorker();
  // asked once at the start; the answer stands on the storage screen
  await navigator.storage?.persist?.();
}

void start();
