// The self-test of a phone: each step is tried, not guessed, and says what is missing.
const words = JSON.parse(document.getElementById("words").textContent);
const text = (id, args = {}) => words[id].replace(/\{(\w+)\}/g, (_, name) => args[name]);

function say(id, state, why) {
  const step = document.getElementById(id);
  step.dataset.state = state;
  step.querySelector(".verdict").textContent = text(state);
  step.querySelector(".why").textContent = why;
  const steps = [...document.querySelectorAll("#steps > li")];
  const right = steps.filter((one) => one.dataset.state === "done").length;
  document.getElementById("sum").textContent =
    right === steps.length ? text("sum-all") : text("sum", { right, total: steps.length });
}

async function reached() {
  try {
    const answer = await fetch("/hello/ping", { cache: "no-store" });
    if (answer.ok) {
      say("reached", "done", text("reached-at", { host: location.host }));
      return true;
    }
    say("reached", "missing", text("reached-error", { status: answer.status }));
  } catch {
    say("reached", "missing", text("reached-no"));
  }
  return false;
}

const policy = globalThis.trustedTypes?.createPolicy("bradawl-check", {
  createScriptURL: (address) => (address === "/app/sw.js" ? address : ""),
});

async function offline() {
  if (!window.isSecureContext) {
    say("trusted", "missing", text("not-secure"));
    say("offline", "missing", text("needs-trust"));
    return;
  }
  if (!("serviceWorker" in navigator)) {
    say("trusted", "open", text("cannot-say"));
    say("offline", "missing", text("no-workers"));
    return;
  }
  try {
    // A browser that was talked past a warning refuses exactly this.
    const address = policy ? policy.createScriptURL("/app/sw.js") : "/app/sw.js";
    const registration = await navigator.serviceWorker.register(address, { scope: "/app/" });
    say("trusted", "done", text("trusted-fully"));
    const worker = registration.active ?? registration.waiting ?? registration.installing;
    if (worker && worker.state !== "activated") {
      await new Promise((settle) => {
        const timer = setTimeout(settle, 30000);
        worker.addEventListener("statechange", () => {
          if (worker.state === "activated" || worker.state === "installed" || worker.state === "redundant") {
            clearTimeout(timer);
            settle();
          }
        });
      });
    }
    if (worker && worker.state === "redundant") {
      say("offline", "missing", text("not-stored-room"));
    } else {
      say("offline", "done", text("stored"));
    }
  } catch (problem) {
    const tls = /certificate|SSL/i.test(String(problem.message));
    if (tls) {
      say("trusted", "missing", text("skipped"));
      say("offline", "missing", text("skipped-offline"));
    } else {
      say("trusted", "done", text("trusted"));
      say("offline", "missing", text("not-stored", { why: problem.message }));
    }
  }
}

async function kept() {
  if (!navigator.storage?.persist) {
    say("kept", "missing", text("kept-no"));
    return;
  }
  const promised = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  const room = Math.floor((quota - usage) / 1e6).toLocaleString(document.documentElement.lang);
  if (promised) say("kept", "done", text("kept-room", { room }));
  else say("kept", "missing", text("kept-not-yet", { room }));
}

document.getElementById("try-camera").addEventListener("click", async () => {
  try {
    const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
    for (const track of stream.getTracks()) track.stop();
    say("camera", "done", text("camera-yes"));
    document.getElementById("try-camera").hidden = true;
  } catch (problem) {
    say("camera", "missing", text(problem.name === "NotFoundError" ? "camera-none" : "camera-no"));
  }
});

function installed() {
  const asked = matchMedia("(display-mode: standalone)"); // a media query: not shown
  const standalone = asked.matches || navigator.standalone === true;
  if (standalone) {
    say("installed", "done", text("installed"));
    return;
  }
  const agent = navigator.userAgent;
  const apple = /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1);
  say("installed", "missing", text(apple ? "install-apple" : "install-other"));
}

installed();
if (await reached()) await offline();
else for (const id of ["trusted", "offline"]) say(id, "open", text("later"));
await kept();
