/** Where the person is: the part of the address after #. It survives a reload and a killed page. */

import { signal } from "@preact/signals";
import { notice } from "./app-state";
import { facts } from "./storage";

export type Route =
  | { screen: "cars" }
  | { screen: "storage" }
  | { screen: "pair" }
  | { screen: "walk" | "facts" | "kerb" | "map" | "seal"; visit: string }
  | { screen: "area"; visit: string; area: string; item: string | null }
  | { screen: "stage"; visit: string; stage: string; item: string | null };

const OF_VISIT = ["facts", "kerb", "map", "seal"] as const;

export function parseRoute(hash: string): Route {
  const [first, visit, second, third, fourth] = hash.replace(/^#\/?/, "").split("/");
  if (first === "storage") return { screen: "storage" };
  if (first === "pair") return { screen: "pair" };
  if (first === "visit" && visit !== undefined && /^[0-9a-f]{32}$/.test(visit)) {
    if (second === "area" && third !== undefined) {
      return { screen: "area", visit, area: third, item: fourth ?? null };
    }
    if (second === "stage" && third !== undefined) {
      return { screen: "stage", visit, stage: third, item: fourth ?? null };
    }
    const screen = OF_VISIT.find((name) => name === second);
    return { screen: screen ?? "walk", visit };
  }
  return { screen: "cars" };
}

export function address(route: Route): string {
  if (route.screen === "cars") return "#/";
  if (route.screen === "storage" || route.screen === "pair") return `#/${route.screen}`;
  if (route.screen === "area" || route.screen === "stage") {
    const page = route.screen === "area" ? route.area : route.stage;
    const item = route.item === null ? "" : `/${route.item}`;
    return `#/visit/${route.visit}/${route.screen}/${page}${item}`;
  }
  return route.screen === "walk"
    ? `#/visit/${route.visit}`
    : `#/visit/${route.visit}/${route.screen}`;
}

const SCROLL_LIMIT_MS = 5_000;

export const route = signal<Route>(parseRoute(location.hash));

export function go(next: Route): void {
  location.hash = address(next);
}

/** Follow the address; keep the place on the phone, so that a restart returns to it. */
export async function followAddress(): Promise<void> {
  window.addEventListener("hashchange", () => {
    const before = route.value;
    route.value = parseRoute(location.hash);
    const item = "item" in route.value ? route.value.item : null;
    // to an item: its page scrolls there itself
    if (item === null) window.scrollTo(0, 0);
    // what was recorded last can be taken back from the same kind of screen: on another, a thumb
    // would take back what it does not see
    const visit = (of: Route) => ("visit" in of ? of.visit : null);
    const elsewhere = before.screen !== route.value.screen && notice.value?.undo !== null;
    if (elsewhere || visit(before) !== visit(route.value)) notice.value = null;
    void keepPlace();
  });
  // the address may have changed since this module was read and before anybody listened
  route.value = parseRoute(location.hash);
  let timer = 0;
  window.addEventListener(
    "scroll",
    () => {
      clearTimeout(timer);
      timer = window.setTimeout(() => void keepPlace(), 500);
    },
    { passive: true },
  );
  if (location.hash === "" || location.hash === "#/") {
    const place = await facts.read("place");
    if (place !== undefined && place.route !== "#/" && place.route !== "") {
      location.replace(place.route);
      route.value = parseRoute(place.route);
      scrollBack(place.scroll, Date.now() + SCROLL_LIMIT_MS);
    }
  }
}

/** To where the person was, as soon as the page is that long; not if a finger was faster. */
function scrollBack(scroll: number, until_ms: number): void {
  if (scroll === 0 || window.scrollY > 0 || Date.now() > until_ms) return;
  const room = document.documentElement.scrollHeight - window.innerHeight;
  if (room >= scroll) window.scrollTo(0, scroll);
  else setTimeout(() => scrollBack(scroll, until_ms), 50);
}

async function keepPlace(): Promise<void> {
  await facts.write("place", { route: location.hash, scroll: Math.round(window.scrollY) }).catch(
    // a lost place costs a scroll; the alarm is for what was recorded
    () => undefined,
  );
}
