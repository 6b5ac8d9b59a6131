// Asks the https addresses, the best first, whether this phone trusts them. A connection that is
// not trusted fails before it is answered; an answer of any kind is proof.
const main = document.querySelector("main");
const origins = main.dataset.origins.split(" ").filter(Boolean);
const state = document.getElementById("state");
const go = document.getElementById("go");

const agent = navigator.userAgent;
const apple = /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1);
const mine = document.getElementById(apple ? "ios" : /Android/.test(agent) ? "android" : "computer");
mine.open = true;

function say(text) {
  const line = document.createElement("p");
  const bold = document.createElement("b");
  bold.textContent = text;
  line.append(bold);
  state.replaceChildren(line);
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

async function look() {
  for (const origin of origins) {
    if (await answers(origin)) {
      const byName = new URL(origin).hostname.endsWith(".local");
      say(
        byName
          ? "This phone trusts the workshop."
          : "This phone trusts the workshop. It reaches it only by number, so give this server a fixed address in the router: if the number changes, the app on the phone no longer finds it.",
      );
      state.dataset.done = "yes";
      go.firstElementChild.href = `${origin}/hello/check`;
      go.hidden = false;
      return;
    }
  }
  say("Not yet: this phone does not trust the workshop. Follow the steps below and come back.");
  setTimeout(look, 3000);
}

document.addEventListener("visibilitychange", () => {
  if (!document.hidden && !state.dataset.done) void look();
});
void look();
