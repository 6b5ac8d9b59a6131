import { signal } from "@preact/signals";
import { beforeEach, describe, expect, test } from "vitest";
import type { Notice } from "../../../src/app/state/app-state";
import { Router, type View } from "../../../src/app/state/router";
import { address, parseRoute, type Route } from "../../../src/app/state/routes";
import { newPhone, newTab, type Tab } from "../../store/store";
import { eventually } from "../pages";

const visit = "a1".repeat(16);
const other = "b2".repeat(16);

const ROUTES: Route[] = [
  { screen: "cars" },
  { screen: "storage" },
  { screen: "pair" },
  { screen: "away" },
  { screen: "guide" },
  ...(["walk", "facts", "kerb", "seal", "manage", "start"] as const).map((screen) => ({
    screen,
    visit,
  })),
  { screen: "map", visit, place: null },
  { screen: "trouble", visit, complaint: null },
  { screen: "trouble", visit, complaint: "rest-pressure" },
  { screen: "own", visit, item: null },
  { screen: "own", visit, item: "brakes" },
  { screen: "own", visit, item: "brakes.own-0a1b2c3d" },
  { screen: "map", visit, place: "engine-bay" },
  { screen: "area", visit, area: "brakes", item: null },
  { screen: "area", visit, area: "brakes", item: "brakes.front-pads" },
  { screen: "stage", visit, stage: "outside", item: null },
  { screen: "stage", visit, stage: "outside", item: "body.doors" },
  { screen: "find", visit, shows: "", words: "", at: null },
  { screen: "find", visit, shows: "left.safety.area=brakes", words: "1/2 hose %", at: "a.b" },
  ...(["left", ""] as const).map((shows) => ({
    ...{ screen: "stage" as const, visit, stage: "outside", item: "body.doors" },
    found: { shows, words: "hose" },
  })),
];

test.each(ROUTES)("the address of $screen leads back to it", (route) => {
  expect(parseRoute(address(route))).toEqual(route);
});

test("what is no address of the app leads to the list of cars or to the walk", () => {
  for (const hash of [
    "",
    "#",
    "#/",
    "#/nowhere",
    "#/visit",
    "#/visit/abc",
    `#/visit/${"A1".repeat(16)}`,
  ]) {
    expect(parseRoute(hash)).toEqual({ screen: "cars" });
  }
  expect(parseRoute(`#/visit/${visit}/nowhere`)).toEqual({ screen: "walk", visit });
  expect(parseRoute(`#/visit/${visit}/area`)).toEqual({ screen: "walk", visit });
});

describe("the router", () => {
  let tab: Tab;
  beforeEach(async () => {
    tab = await newPhone();
  });

  /** A window of which a test moves address and scroll. */
  function newView(hash: string, pageHeight = 800) {
    const heard = new Map<string, () => void>();
    const scrolled: number[] = [];
    const view = {
      location: {
        hash,
        replace: (to: string | URL) => {
          view.location.hash = String(to);
        },
      },
      document: { documentElement: { scrollHeight: pageHeight } },
      innerHeight: 800,
      scrollY: 0,
      scrollTo: (_x: number, y: number) => void scrolled.push(y),
      addEventListener: (kind: string, hear: () => void) => void heard.set(kind, hear),
    };
    const go = (to: Route) => {
      view.location.hash = address(to);
      heard.get("hashchange")?.();
    };
    return { view: view as unknown as View & { scrollY: number }, scrolled, go };
  }

  const newRouter = (view: View, on = tab) => {
    const notice = signal<Notice | null>(null);
    return { router: new Router(view, on.log.facts, notice), notice };
  };

  test("a restart returns to where the person was, and waits until the page is that long", async () => {
    const first = newView(`#/visit/${visit}`);
    const { router } = newRouter(first.view);
    await router.follow();
    first.view.scrollY = 345.6;
    first.go({ screen: "kerb", visit });
    await eventually(async () => {
      expect((await tab.log.facts.read("place"))?.route).toBe(`#/visit/${visit}/kerb`);
    });
    const again = newView("", 1_000);
    const restarted = newRouter(again.view, newTab());
    await restarted.router.follow();
    expect(restarted.router.route.value).toEqual({ screen: "kerb", visit });
    expect(again.scrolled).toEqual([]);
    again.view.document.documentElement = { scrollHeight: 1_200 };
    await eventually(() => expect(again.scrolled).toEqual([346]));
  });

  test("an address that names a screen is followed, whatever was kept", async () => {
    await tab.log.facts.write("place", { route: `#/visit/${visit}`, scroll: 0 });
    const { view } = newView("#/storage");
    const { router } = newRouter(view);
    await router.follow();
    expect(router.route.value).toEqual({ screen: "storage" });
  });

  test("what was recorded last can be taken back on the same kind of screen alone", async () => {
    const { view, go } = newView(`#/visit/${visit}/area/brakes`);
    const { router, notice } = newRouter(view);
    await router.follow();
    const recorded: Notice = { text: "Pads: Minor.", undo: async () => undefined };
    notice.value = recorded;
    go({ screen: "area", visit, area: "body", item: null });
    expect(notice.value).toBe(recorded);
    go({ screen: "walk", visit });
    expect(notice.value).toBeNull();
    const plain: Notice = { text: "Signed.", undo: null };
    notice.value = plain;
    go({ screen: "kerb", visit });
    expect(notice.value).toBe(plain);
    go({ screen: "kerb", visit: other });
    expect(notice.value).toBeNull();
  });
});
