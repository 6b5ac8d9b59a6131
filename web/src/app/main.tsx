/**
 * The start: what the first screen shows is read, all at once, and drawn; network, judge and
 * renewal come behind it.
 */

import { render } from "preact";
import { whenOutdated } from "../store/database";
import { deviceId, readMeta } from "../store/meta";
import "../style/tokens.css";
import "../style/app.css";
import { App } from "./app";
import { followAddress, route } from "./route";
import { restoreSeller } from "./screens/seller";
import { alarm, preferences } from "./signals";
import { startSyncing } from "./syncing";
import { registerServiceWorker } from "./update";
import { showVisit } from "./visit";
import { words } from "./words";

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
  whenOutdated(() => {
    alarm.value = { text: words.alarm.outdated, again: null };
  });
  try {
    const placed = followAddress();
    const opened = placed.then(() => {
      const now = route.value;
      return "visit" in now ? showVisit(now.visit) : undefined;
    });
    const [known] = await Promise.all([
      readMeta("preferences"),
      placed,
      deviceId(),
      restoreSeller(),
    ]);
    preferences.value = { ...preferences.value, ...known };
    await Promise.race([opened, pause(PATIENCE_MS)]);
  } catch (problem) {
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
