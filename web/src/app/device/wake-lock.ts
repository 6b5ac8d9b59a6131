/** The screen stays on while a visit is open: dirty hands cannot wake it. */

export class WakeLock {
  private lock: WakeLockSentinel | null = null;
  private isWanted = false;

  /** Taken again whenever the page comes to the front. */
  constructor() {
    document.addEventListener("visibilitychange", () => void this.take());
  }

  /** Ask for it or give it back. */
  keep(isWanted: boolean): void {
    this.isWanted = isWanted;
    if (isWanted) void this.take();
    else void this.lock?.release();
  }

  private async take(): Promise<void> {
    if (!this.isWanted || this.lock !== null || document.visibilityState !== "visible") return;
    try {
      this.lock = (await navigator.wakeLock?.request("screen")) ?? null;
      this.lock?.addEventListener("release", () => {
        this.lock = null;
      });
    } catch {
      // low battery or not supported: the screen goes dark as ever
      this.lock = null;
    }
  }
}
