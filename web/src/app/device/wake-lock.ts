/** The screen stays on while a visit is open: dirty hands cannot wake it. */

let held: WakeLockSentinel | null = null;
let wanted = false;

async function take(): Promise<void> {
  if (!wanted || held !== null || document.visibilityState !== "visible") return;
  try {
    held = (await navigator.wakeLock?.request("screen")) ?? null;
    held?.addEventListener("release", () => {
      held = null;
    });
  } catch {
    // low battery or not supported: the screen goes dark as ever
    held = null;
  }
}

/** Ask for it or give it back; taken again whenever the page comes to the front. */
export function keepAwake(on: boolean): void {
  wanted = on;
  if (on) void take();
  else void held?.release();
}

document.addEventListener("visibilitychange", () => void take());
