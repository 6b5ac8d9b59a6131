/** Which screen stands for which address. */

import { Component, type ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { ScreenFrame } from "./components/frame/screen-frame";
import { Ad, Shared } from "./screens/ad/later";
import { Driving } from "./screens/after/driving/later";
import { HandOver } from "./screens/after/hand-over/later";
import { Leaving } from "./screens/after/leaving/later";
import { Going } from "./screens/before/going/later";
import { Compare, Purpose } from "./screens/before/purpose/later";
import { BodyMap } from "./screens/body-map/later";
import { Sort } from "./screens/capture/later";
import { Decision, SellerView, Sign, Tell } from "./screens/decision/later";
import { CarFacts } from "./screens/facts/later";
import { StartCar } from "./screens/facts/start";
import { Find } from "./screens/find/later";
import { Guide } from "./screens/guide/later";
import { Pair, Storage } from "./screens/later";
import { Own } from "./screens/own/later";
import { Cars } from "./screens/phone/cars";
import { StorageGone } from "./screens/phone/storage-gone";
import { Where } from "./screens/phone/where";
import { Manage, PutAway } from "./screens/shelf/later";
import { Two } from "./screens/together/later";
import { Trouble } from "./screens/trouble/later";
import { Items } from "./screens/walk/items";
import { Walk } from "./screens/walk/walk";
import type { Route } from "./state/routes";
import {
  open,
  preferences,
  router,
  sellerMode,
  syncState,
  vanished,
  wakeLock,
} from "./state/this-page";
import { say, text } from "./text/catalogue";
import type { Visit } from "./visit/visit";

/** A screen that fails must not take the app with it, nor look as if something were lost. */
class Safe extends Component<{ children: ComponentChildren }, { failed: boolean }> {
  override state = { failed: false };

  static override getDerivedStateFromError() {
    return { failed: true };
  }

  override componentDidCatch(problem: unknown): void {
    // told to the browser's own console and to tests; the person gets the sentence
    reportError(problem);
  }

  override render() {
    if (!this.state.failed) return this.props.children;
    return (
      <ScreenFrame title={text("phone-app")} back={null}>
        <p class="wrong" role="alert">
          {text("phone-alarm-screen")}
        </p>
        <button
          type="button"
          onClick={() => {
            router.go({ screen: "cars" });
            this.setState({ failed: false });
          }}
        >
          {text("phone-alarm-to-cars")}
        </button>
      </ScreenFrame>
    );
  }
}

export function App() {
  return (
    <Safe>
      <Screen />
    </Safe>
  );
}

/** Open the visit that the screen is about, and keep the screen on as long as there is one. */
function useVisit(wanted: string | null): void {
  useEffect(() => {
    void open.show(wanted);
    wakeLock.keep(wanted !== null);
  }, [wanted]);
  // a visit may open by its address before it has come over: each answer of the server may bring it
  const { answered } = syncState.value;
  useEffect(() => {
    if (answered > 0 && open.problem.peek() !== null) void open.show(wanted);
  }, [answered, wanted]);
}

function useLook(): void {
  const { theme, hand } = preferences.value;
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
    document.documentElement.dataset.hand = hand;
  }, [theme, hand]);
}

function Screen() {
  const route = router.route.value;
  const seller = sellerMode.visit.value;
  useVisit(seller ?? ("visit" in route ? route.visit : null));
  useLook();
  if (vanished.value !== null) return <StorageGone />;
  if (seller !== null) return <SellerView />;
  if (route.screen === "cars") return preferences.value.region === "" ? <Where /> : <Cars />;
  if (route.screen === "storage") return <Storage />;
  if (route.screen === "pair") return <Pair />;
  if (route.screen === "away") return <PutAway />;
  if (route.screen === "guide") return <Guide />;
  if (route.screen === "handover") return <HandOver />;
  if (route.screen === "shared") return <Shared />;
  if (route.screen === "compare") return <Compare />;
  const visit = open.visit.value;
  if (visit === null || visit.id !== route.visit) return <Opening id={route.visit} />;
  return <VisitScreen visit={visit} route={route} />;
}

/** Until a visit is open, or what keeps it from opening. */
function Opening({ id }: { id: string }) {
  const problem = open.problem.value;
  return (
    <ScreenFrame title={text("phone-app")} back={{ screen: "cars" }}>
      {problem === null ? (
        <p role="status">{text("phone-walk-opening")}</p>
      ) : (
        <>
          <p class="wrong" role="alert">
            {say(problem)}
          </p>
          <button type="button" onClick={() => void open.show(id)}>
            {text("phone-alarm-again")}
          </button>
        </>
      )}
    </ScreenFrame>
  );
}

type VisitRoute = Extract<Route, { visit: string }>;

function VisitScreen({ visit, route }: { visit: Visit; route: VisitRoute }) {
  switch (route.screen) {
    case "area":
      return <Items key={route.area} {...route} visit={visit} kind="area" id={route.area} />;
    case "stage":
      return <Items key={route.stage} {...route} visit={visit} kind="stage" id={route.stage} />;
    case "find":
      return <Find {...route} visit={visit} />;
    case "kerb":
      return <Decision visit={visit} />;
    case "map":
      return <BodyMap key={route.place} visit={visit} place={route.place} />;
    case "trouble":
      return <Trouble key={route.complaint} visit={visit} complaint={route.complaint} />;
    case "leaving":
      return <Leaving key={route.part} visit={visit} part={route.part} />;
    case "ad":
      return <Ad visit={visit} />;
    case "going":
      return <Going visit={visit} part={route.part} />;
    case "purpose":
      return <Purpose visit={visit} />;
    case "drive":
      return <Driving visit={visit} />;
    case "own":
      return <Own visit={visit} item={route.item} />;
    case "start":
      return <StartCar visit={visit} />;
    case "facts":
      return <CarFacts visit={visit} />;
    case "manage":
      return <Manage visit={visit} />;
    case "seal":
      return <Sign visit={visit} />;
    case "two":
      return <Two visit={visit} />;
    case "tell":
      return <Tell visit={visit} />;
    case "sort":
      return <Sort visit={visit} />;
    default:
      return <Walk visit={visit} />;
  }
}
