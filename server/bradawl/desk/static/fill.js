// Cars that are still being read on the server: asked for every second, and put where they belong.
// Whatever else stands on the page, also a car picked meanwhile, stays as it is.
(() => {
  const PAUSE_MS = 1000;
  const LONGEST_PAUSE_MS = 15000;

  const note = () => document.querySelector("[data-fill=reading]");

  async function left() {
    const { unread, words } = note().dataset;
    const asked = new URLSearchParams(words ? { words } : unread.split(" ").filter(Boolean).map((one) => ["visit", one]));
    const answer = await fetch(`/desk/reading?${asked}`, { headers: { Accept: "application/json" } });
    if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
    return (await answer.json()).left;
  }

  // The server's own answer as a document: the content policy lets no script make one from a text.
  function pageNow() {
    return new Promise((done, failed) => {
      const request = new XMLHttpRequest();
      request.open("GET", location.href);
      request.responseType = "document";
      request.onload = () => (request.status === 200 && request.response ? done(request.response) : failed(new Error(String(request.status))));
      request.onerror = () => failed(new Error("no answer")); // not shown
      request.send();
    });
  }

  // The page as it is now, by its parts that fill in; only what differs is exchanged.
  async function fill() {
    const fresh = await pageNow();
    // once read, a car may turn out to have been put away
    for (const visit of note().dataset.unread.split(" ").filter(Boolean)) {
      const row = `tr[data-fill="${CSS.escape(visit)}"]`;
      if (!fresh.querySelector(row)) document.querySelector(row)?.remove();
    }
    for (const part of fresh.querySelectorAll("[data-fill]")) {
      const old = document.querySelector(`[data-fill="${CSS.escape(part.dataset.fill)}"]`);
      if (!old || old.outerHTML === part.outerHTML) continue;
      const focused = old.contains(document.activeElement) ? document.activeElement.getAttribute("href") : null;
      old.replaceWith(document.adoptNode(part));
      if (focused !== null) [...part.querySelectorAll("a")].find((one) => one.getAttribute("href") === focused)?.focus();
    }
  }

  async function watch(pause) {
    const { unread, words, left: before } = note().dataset;
    const asked = words ? Number(before) : unread.split(" ").filter(Boolean).length;
    if (!asked) return;
    let next = PAUSE_MS;
    try {
      if ((await left()) < asked) await fill();
    } catch {
      next = Math.min(pause * 2, LONGEST_PAUSE_MS); // no connection: what stands here stays, and is asked for later
    }
    setTimeout(() => watch(next), next);
  }

  if (note()) setTimeout(() => watch(PAUSE_MS), PAUSE_MS / 2);
})();
