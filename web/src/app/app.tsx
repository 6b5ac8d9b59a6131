/** Which screen stands for which address. */

import { Component, type ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { Frame } from "./components/screen-frame";
import { keepAwake } from "./device/wake-lock";
import { BodyMap } from "./screens/body-map";
import { Cars } from "./screens/cars";
import { Kerb } from "./screens/decision";
import { Facts } from "./screens/facts";
import { PageScreen } from "./screens/items";
import { Pair } from "./screens/pair";
import { Seller, sellerSees } from "./screens/seller-view";
import { Seal } from "./screens/sign";
import { Storage } from "./screens/storage";
import { Gone } from "./screens/storage-gone";
import { Walk } from "./screens/walk";
import { preferences, syncState, vanished } from "./state/app-state";
import { openVisit, showVisit, visitProblem } from "./state/open-visit";
import { go, route } from "./state/router";
import { words } from "./text/en";

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
      <Frame title={words.app} back={null}>
        <p class="wrong" role="alert">
          {words.alarm.screen}
        </p>
        <button
          type="button"
          onClick={() => {
            go({ screen: "cars" });
            this.setState({ failed: false });
          }}
        >
          {words.alarm.toCars}
        </button>
      </Frame>
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

function Screen() {
  const now = route.value;
  const seller = sellerSees.value;
  const wanted = seller ?? ("visit" in now ? now.visit : null);
  useEffect(() => {
    void showVisit(wanted);
    keepAwake(wanted !== null);
  }, [wanted]);
  // a visit may open by its address before it has come over: each answer of the server may bring it
  const answered = syncState.value.answered;
  useEffect(() => {
    if (answered > 0 && visitProblem.peek() !== null) void showVisit(wanted);
  }, [answered, wanted]);
  const { theme, hand } = preferences.value;
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
    document.documentElement.dataset.hand = hand;
  }, [theme, hand]);
  if (vanished.value !== null) return <Gone />;
  if (seller !== null) return <Seller />;
  if (now.screen === "cars") return <Cars />;
  if (now.screen === "storage") return <Storage />;
  if (now.screen === "pair") return <Pair />;
  const visit = openVisit.value;
  if (visit === null || visit.id !== now.visit) {
    return (
      <Frame title={words.app} back={{ screen: "cars" }}>
        {visitProblem.value === null ? (
          <p role="status">{words.walk.opening}</p>
        ) : (
          <>
            <p class="wrong" role="alert">
              {visitProblem.value}
            </p>
            <button type="button" onClick={() => void showVisit(now.visit)}>
              {words.alarm.againOpen}
            </button>
          </>
        )}
      </Frame>
    );
  }
  if (now.screen === "area") {
    return <PageScreen key={now.area} visit={visit} kind="area" id={now.area} item={now.item} />;
  }
  if (now.screen === "stage") {
    return <PageScreen key={now.stage} visit={visit} kind="stage" id={now.stage} item={now.item} />;
  }
  if (now.screen === "kerb") return <Kerb visit={visit} />;
  if (now.screen === "map") return <BodyMap visit={visit} />;
  if (now.screen === "facts") return <Facts visit={visit} />;
  if (now.screen === "seal") return <Seal visit={visit} />;
  return <Walk visit={visit} />;
}
