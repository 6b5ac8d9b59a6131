/**
 * The start: what the first screen shows is read, all at once, and drawn; network, judge and
 * renewal come behind it.
 */

import "../style/tokens.css";
import "../style/base.css";

import { render } from "preact";
import { saidOf } from "../shared/said";
import { StoreTooOld } from "../store/database";
import { App } from "./app";
import { OldStorage } from "./screens/phone/old-store";
import {
  alarm,
  appUpdate,
  log,
  open,
  page,
  pendingInput,
  router,
  sellerMode,
  store,
  sync,
} from "./state/this-page";
import { catalogue, chosenLocale } from "./text/catalogue";
import { FILES } from "./text/catalogue-files";
import { likelyRegion, region } from "./text/region";
import { sayLanguages } from "./text/tongues";

/** A visit that others wrote to is folded first; the frame around it does not wait for that. */
const PATIENCE_MS = 500;

// until the person says, as the phone's clock and languages have it
region.value = likelyRegion(navigator.languages, Intl.DateTimeFormat().resolvedOptions().timeZone);

catalogue.files = FILES;
sayLanguages();
/** The words come while the storage is read. */
const words = catalogue.load(chosenLocale());

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

/** Read what the first screen shows. */
async function readFirstScreen(): Promise<void> {
  const placed = router.follow();
  const opened = placed.then(() => {
    const route = router.route.value;
    return "visit" in route ? open.show(route.visit) : undefined;
  });
  // where the storage is not to be had, the first to say so is enough
  opened.catch(() => undefined);
  await Promise.all([
    page.state.readPreferences(),
    placed,
    log.identity.get(),
    sellerMode.restore(),
  ]);
  await Promise.race([opened, pause(PATIENCE_MS)]);
  await words;
  const { locale } = page.state.preferences.value;
  if (locale !== "" && locale !== catalogue.locale) await catalogue.load(locale);
}

/** What a page that was killed while it recorded has left is kept now. */
async function keepLeft(): Promise<void> {
  try {
    if ((await store.run((database) => database.count("takes"))) === 0) return;
    await (await import("./screens/capture/recording/keep-take-parts")).keepLeftTakes(page);
  } catch (problem) {
    // what is left stays where it is, and is looked for again at the next start
    reportError(problem);
  }
}

async function start(): Promise<void> {
  const root = document.getElementById("app");
  if (root === null) return;
  sync.watchStorage(window);
  pendingInput.follow(document, window);
  try {
    await readFirstScreen();
  } catch (problem) {
    await words;
    if (problem instanceof StoreTooOld) {
      document.documentElement.lang = catalogue.locale;
      root.textContent = "";
      render(<OldStorage />, root);
      return;
    }
    alarm.value = { said: saidOf(problem), again: () => location.reload() };
  }
  document.documentElement.lang = catalogue.locale;
  root.textContent = "";
  render(<App />, root);
  // a phone that is turned, or whose keyboard comes up: the field stays in sight
  addEventListener("resize", () => {
    const field = document.activeElement;
    if (field instanceof HTMLInputElement) field.scrollIntoView({ block: "nearest" });
  });
  await drawn();
  sync.start(document, window);
  void keepLeft();
  await appUpdate.start();
  // asked once at the start; the answer stands on the storage screen
  await navigator.storage?.persist?.();
}

void start();
