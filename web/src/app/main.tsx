/** The start: storage first, then the screen; network, judge and renewal come behind it. */

import { render } from "preact";
import { whenOutdated } from "../store/database";
import { deviceId, readMeta } from "../store/meta";
import "../style/tokens.css";
import "../style/app.css";
import { App } from "./app";
import { followAddress } from "./route";
import { restoreSeller } from "./screens/seller";
import { alarm, preferences } from "./signals";
import { startSyncing } from "./syncing";
import { registerServiceWorker } from "./update";
import { words } from "./words";

async function start(): Promise<void> {
  const root = document.getElementById("app");
  if (root === null) return;
  root.textContent = "";
  whenOutdated(() => {
    alarm.value = { text: words.alarm.outdated, again: null };
  });
  try {
    await deviceId();
    preferences.value = { ...preferences.value, ...(await readMeta("preferences")) };
    await restoreSeller();
    await followAddress();
  } catch (problem) {
    alarm.value = {
      text: problem instanceof Error ? problem.message : words.alarm.write,
      again: () => location.reload(),
    };
  }
  render(<App />, root);
  startSyncing();
  await registerServiceWorker();
  // asked once at the start; the answer stands on the storage screen
  await navigator.storage?.persist?.();
}

void start();
