// Asks the https addresses, the best first, whether this phone trusts them. A connection that is
// not trusted fails before it is answered; an answer of any kind is proof. Where a next certificate
// waits, its own addresses are asked as well, and the same guide leads through trusting that.
const words = JSON.parse(document.getElementById("words").textContent);
const text = (id, args = {}) => words[id].replace(/\{(\w+)\}/g, (_, name) => args[name]);
const main = document.querySelector("main");
const listed = (origins) => (origins ?? "").split(" ").filter(Boolean);
const origins = listed(main.dataset.origins);
const nextOrigins = listed(main.dataset.nextOrigins);
const state = document.getElementById("state");
const go = document.getElementById("go");
const learn = document.getElementById("learn");

const agent = navigator.userAgent;
const apple = /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1);
const mine = document.getElementById(apple ? "ios" : /Android/.test(agent) ? "android" : "computer");
mine.open = true;

function say(said) {
  const line = document.createElement("p");
  const bold = document.createElement("b");
  bold.textContent = said;
  line.append(bold);
  // the same again is no news: whoever hears the page is not told every three seconds
  if (state.textContent.trim() !== said) state.replaceChildren(line);
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
  document.getElementById("fetch").textContent = text("fetch-next");
  document.getElementById("file").href = nextFile;
  learn.querySelector(".compare").textContent = text("compare-next");
  for (const place of learn.querySelectorAll(".name")) place.textContent = nextName;
  learn.querySelector(".print").textContent = nextPrint;
  learn.querySelector(".file-name").textContent = "bradawl-next-authority.crt";
}

/** Look once; whether there is nothing more to wait for. */
async function done() {
  const origin = await firstThatAnswers(origins);
  if (origin === null) {
    say(text("not-yet"));
    return false;
  }
  go.firstElementChild.href = `${origin}/hello/check`;
  go.hidden = false;
  const number = new URL(origin).hostname.endsWith(".local") ? [] : [text("by-number")];
  const remove = "former" in main.dataset ? [text("remove")] : [];
  if (nextOrigins.length > 0 && (await firstThatAnswers(nextOrigins)) === null) {
    guideToNext();
    say([text("until"), ...number].join(" "));
    return false;
  }
  say([text(nextOrigins.length > 0 ? "trusted-both" : "trusted"), ...number, ...remove].join(" "));
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
