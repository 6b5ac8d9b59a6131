/** Where the person is, kept on the phone so that a restart returns there. */

import { type Signal, signal } from "@preact/signals";
import type { Facts } from "../../store/facts";
import type { Notice } from "./app-state";
import { address, parseRoute, type Route } from "./routes";

const SCROLL_LIMIT_MS = 5_000;
const SCROLL_PAUSE_MS = 500;

/** What of a window the router needs; a test gives its own. */
export type View = Pick<Window, "addEventListener" | "innerHeight" | "scrollTo" | "scrollY"> & {
  location: Pick<Location, "hash" | "replace">;
  document: { documentElement: Pick<Element, "scrollHeight"> };
};

function visitOf(route: Route): string | null {
  return "visit" in route ? route.visit : null;
}

export class Router {
  readonly route: Signal<Route>;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly view: View,
    private readonly facts: Facts,
    private readonly notice: Signal<Notice | null>,
  ) {
    this.route = signal(parseRoute(view.location.hash));
  }

  go(next: Route): void {
    this.view.location.hash = address(next);
  }

  /** The same screen, which shows something else of it: no step to go back to. */
  turn(next: Route): void {
    this.view.location.replace(address(next));
  }

  /** Follow the address from now on; where it names no screen, return to where the person was. */
  async follow(): Promise<void> {
    const { location } = this.view;
    this.view.addEventListener("hashchange", () => this.changed());
    this.view.addEventListener("scroll", () => this.scrolled(), { passive: true });
    // the address may have changed since this was made and before anybody listened
    this.route.value = parseRoute(location.hash);
    if (location.hash !== "" && location.hash !== "#/") return;
    const place = await this.facts.read("place");
    if (place === undefined || place.route === "#/" || place.route === "") return;
    location.replace(place.route);
    this.route.value = parseRoute(place.route);
    this.scrollBack(place.scroll, Date.now() + SCROLL_LIMIT_MS);
  }

  private changed(): void {
    const before = this.route.value;
    const now = parseRoute(this.view.location.hash);
    this.route.value = now;
    // to an item, or the place in a list where one was: its page scrolls there itself
    const to = "item" in now ? now.item : "at" in now ? now.at : null;
    if (to === null) this.view.scrollTo(0, 0);
    // what was recorded last can be taken back from the same kind of screen: on another, a thumb
    // would take back what it does not see
    const isElsewhere = before.screen !== now.screen && this.notice.value?.undo !== null;
    if (isElsewhere || visitOf(before) !== visitOf(now)) this.notice.value = null;
    void this.keepPlace();
  }

  private scrolled(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.keepPlace(), SCROLL_PAUSE_MS);
  }

  /** To where the person was, as soon as the page is that long; not if a finger was faster. */
  private scrollBack(scroll: number, until_ms: number): void {
    if (scroll === 0 || this.view.scrollY > 0 || Date.now() > until_ms) return;
    const room = this.view.document.documentElement.scrollHeight - this.view.innerHeight;
    if (room >= scroll) this.view.scrollTo(0, scroll);
    else setTimeout(() => this.scrollBack(scroll, until_ms), 50);
  }

  private async keepPlace(): Promise<void> {
    const { location, scrollY } = this.view;
    await this.facts.write("place", { route: location.hash, scroll: Math.round(scrollY) }).catch(
      // a lost place costs a scroll; the alarm is for what was recorded
      () => undefined,
    );
  }
}
