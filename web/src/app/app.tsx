/** Which screen stands for which address. */

import { useEffect } from "preact/hooks";
import { Frame } from "./parts/frame";
import { route } from "./route";
import { AreaScreen } from "./screens/area";
import { Cars } from "./screens/cars";
import { Facts } from "./screens/facts";
import { Pair } from "./screens/pair";
import { Seal } from "./screens/seal";
import { Storage } from "./screens/storage";
import { Walk } from "./screens/walk";
import { preferences } from "./signals";
import { openVisit, showVisit, visitProblem } from "./visit";
import { words } from "./words";

export function App() {
  const now = route.value;
  const wanted = "visit" in now ? now.visit : null;
  useEffect(() => {
    void showVisit(wanted);
  }, [wanted]);
  const { theme, hand } = preferences.value;
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
    document.documentElement.dataset.hand = hand;
  }, [theme, hand]);
  if (now.screen === "cars") return <Cars />;
  if (now.screen === "storage") return <Storage />;
  if (now.screen === "pair") return <Pair />;
  const visit = openVisit.value;
  if (visit === null || visit.id !== now.visit) {
    return (
      <Frame title={words.app} back={{ screen: "cars" }}>
        {visitProblem.value !== null && (
          <p class="wrong" role="alert">
            {visitProblem.value}
          </p>
        )}
      </Frame>
    );
  }
  if (now.screen === "area") {
    return <AreaScreen key={now.area} visit={visit} area={now.area} item={now.item} />;
  }
  if (now.screen === "facts") return <Facts visit={visit} />;
  if (now.screen === "seal") return <Seal visit={visit} />;
  return <Walk visit={visit} />;
}
