// Asks the https addresses, the best first, whether this phone trusts them. A connection that is
// not trusted fails before it is answered; an answer of any kind is proof. Where a next certificate
// waits, its own addresses are asked as well, and the same guide leads through trusting that.
const main = document.querySelector("main");
const listed = (text) => (text ?? "").split(" ").filter(Boolean);
const origins = listed(main.dataset.origins);
const nextOrigins = listed(main.dataset.nextOrigins);
const state = document.getElementById("state");
const go = document.getElementById("go");
const learn = document.getElementById("learn");

const agent = navigator.userAgent;
const apple = /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1);
const mine = document.getElementById(apple ? "ios" : /Android/.test(agent) ? "android" : "computer");
mine.open = true;

function say(text) {
  const line = document.createElement("p");
  const bold = document.createElement("b");
  bold.textContent = text;
  line.append(bold);
  // the same again is no news: whoever hears the page is not told every three seconds
  if (state.textContent.trim() !== text) state.replaceChildren(line);
}

async function answers(origin) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), 4000);
  try {
    await fetch(`${origin}/hello/ping`, { mode: "no-cors", cache: "no-store", signal: stop.signal });
    return true;
  } catch {
    return false;
  } finally {
    clearTimeout(timer);
  }
}

async function firstThatAnswers(asked) {
  for (const origin of asked) if (await answers(origin)) return origin;
  return null;
}

/** Turn the guide to the certificate that comes next. */
function guideToNext() {
  const { nextName, nextPrint, nextFile } = main.dataset;
  document.getElementById("fetch").textContent = "1. Fetch the next certificate";
  document.getElementById("file").href = nextFile;
  document.getElementById("compare").textContent = "under Keys at the desk, or in the terminal of the server";
  for (const place of learn.querySelectorAll(".name")) place.textContent = nextName;
  learn.querySelector(".print").textContent = nextPrint;
  learn.querySelector(".file-name").textContent = "bradawl-next-authority.crt";
}

const byNumber =
  " It reaches it only by number, so give this server a fixed address in the router: if the number changes, the app on the phone no longer finds it.";
const toRemove = " Now remove the old certificate: see below.";

/** Look once; whether there is nothing more to wait for. */
async function done() {
  const origin = await firstThatAnswers(origins);
  if (origin === null) {
    say("Not yet: this phone does not trust the workshop. Follow the steps below and come back.");
    return false;
  }
  go.firstElementChild.href = `${origin}/hello/check`;
  go.hidden = false;
  const number = new URL(origin).hostname.endsWith(".local") ? "" : byNumber;
  const remove = "former" in main.dataset ? toRemove : "";
  if (nextOrigins.length > 0 && (await firstThatAnswers(nextOrigins)) === null) {
    guideToNext();
    say(
      `This phone trusts the workshop until ${main.dataset.takesOver}; then the next certificate takes over. Let the phone trust that one, too, by the steps below: it will not notice the change.${number}`,
    );
    return false;
  }
  const after = nextOrigins.length > 0 ? ", and the certificate that comes next as well" : "";
  say(`This phone trusts the workshop${after}.${number}${remove}`);
  state.dataset.done = "yes";
  learn.hidden = nextOrigins.length > 0;
  return true;
}

let looking = false;
let timer;

async function look() {
  if (looking || state.dataset.done) return;
  looking = true;
  clearTimeout(timer);
  const over = await done();
  looking = false;
  if (!over) timer = setTimeout(look, 3000);
}

document.addEventListener("visibilitychange", () => {
  if (!document.hidden) void look();
});
void look();
