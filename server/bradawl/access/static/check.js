// The self-test of a phone: each step is tried, not guessed, and says what is missing.
const WORDS = { open: "open", done: "right", missing: "missing" };

function say(id, state, why) {
  const step = document.getElementById(id);
  step.dataset.state = state;
  step.querySelector(".verdict").textContent = WORDS[state];
  step.querySelector(".why").textContent = why;
  const steps = [...document.querySelectorAll("#steps > li")];
  const right = steps.filter((one) => one.dataset.state === "done").length;
  document.getElementById("sum").textContent =
    right === steps.length ? "All six are right: this phone is ready." : `${right} of ${steps.length} are right.`;
}

async function reached() {
  try {
    const answer = await fetch("/hello/ping", { cache: "no-store" });
    if (answer.ok) {
      say("reached", "done", `at ${location.host}`);
      return true;
    }
    say("reached", "missing", `The server answered, but with an error (${answer.status}).`);
  } catch {
    say("reached", "missing", "The server does not answer. Is this phone in the workshop's Wi-Fi?");
  }
  return false;
}

const policy = globalThis.trustedTypes?.createPolicy("bradawl-check", {
  createScriptURL: (address) => (address === "/app/sw.js" ? address : ""),
});

async function offline() {
  if (!window.isSecureContext) {
    say("trusted", "missing", "This page is not on an https address that the phone trusts.");
    say("offline", "missing", "That needs a trusted address first.");
    return;
  }
  if (!("serviceWorker" in navigator)) {
    say("trusted", "open", "This browser cannot say.");
    say("offline", "missing", "This browser, or its private mode, has no service workers. Use Safari or Chrome, not a private tab.");
    return;
  }
  try {
    // A browser that was talked past a warning refuses exactly this.
    const address = policy ? policy.createScriptURL("/app/sw.js") : "/app/sw.js";
    const registration = await navigator.serviceWorker.register(address, { scope: "/app/" });
    say("trusted", "done", "the connection is trusted without any warning");
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
      say("offline", "missing", "The app could not be stored on the phone. Is there room left? Load this page again.");
    } else {
      say("offline", "done", "the app is stored on the phone");
    }
  } catch (problem) {
    const tls = /certificate|SSL/i.test(String(problem.message));
    if (tls) {
      say("trusted", "missing", "The warning was only skipped. Install the certificate and switch its trust on.");
      say("offline", "missing", "A phone stores an app only from an address that it trusts.");
    } else {
      say("trusted", "done", "the connection is trusted");
      say("offline", "missing", `The app could not be stored: ${problem.message}`);
    }
  }
}

async function kept() {
  if (!navigator.storage?.persist) {
    say("kept", "missing", "This browser cannot promise it. Put the app on the home screen and send often.");
    return;
  }
  const promised = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  const { quota = 0, usage = 0 } = await navigator.storage.estimate();
  const room = `${Math.floor((quota - usage) / 1e6).toLocaleString("en")} MB free for it`;
  if (promised) say("kept", "done", room);
  else say("kept", "missing", `Not promised yet (${room}). It is promised to an app on the home screen that is used; until then, send what you record the same day.`);
}

document.getElementById("try-camera").addEventListener("click", async () => {
  try {
    const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
    for (const track of stream.getTracks()) track.stop();
    say("camera", "done", "allowed");
    document.getElementById("try-camera").hidden = true;
  } catch (problem) {
    const why =
      problem.name === "NotFoundError"
        ? "This device has no camera."
        : "Not allowed. Allow the camera for this address in the browser's settings; photos can also be picked from the gallery.";
    say("camera", "missing", why);
  }
});

function installed() {
  const standalone = matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
  if (standalone) {
    say("installed", "done", "opened from the home screen");
    return;
  }
  const agent = navigator.userAgent;
  const apple = /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && navigator.maxTouchPoints > 1);
  say(
    "installed",
    "missing",
    apple
      ? "Open Bradawl below in Safari, tap Share (newer systems hide it behind ⋯), then “Add to Home Screen”; leave “Open as Web App” switched on. Open it from there; this test is there, too, on its screen for pairing."
      : "Open Bradawl below, then choose “Install app” or “Add to home screen” in the browser's menu (⋮). Open it from there; this test is there, too, on its screen for pairing.",
  );
}

installed();
if (await reached()) await offline();
else for (const id of ["trusted", "offline"]) say(id, "open", "This can be tried when the workshop is reached.");
await kept();
