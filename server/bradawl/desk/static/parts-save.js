// Sends changed cells, keeps them in the browser until the server has them, and fetches others'.
const RETRY_MS = 5000;
const LOOK_MS = 20000;

/**
 * The changes of one visit that the server does not hold yet, by path: {was, now, state}, with
 * `theirs` where somebody else changed the cell and `why` where it cannot be read.
 * `view` paints what becomes of them: done, conflict, wrong, merge, worked, say.
 */
export function saver(table, view) {
  const words = table.dataset;
  const store = `bradawl-parts-${words.visit}-${words.by}`; // a key: not shown
  const pending = new Map();
  const channel = "BroadcastChannel" in window ? new BroadcastChannel(store) : null;
  let stamp = words.stamp;
  let sending = false;
  let leaving = false;
  let trouble = "";
  let timer = 0;

  const stored = () => {
    try {
      return JSON.parse(localStorage.getItem(store) ?? "{}");
    } catch {
      return {};
    }
  };
  // other tabs of the visit keep theirs in the same place
  const keep = (paths) => {
    const held = stored();
    for (const path of paths) {
      const { was, now } = pending.get(path) ?? {};
      if (now === undefined) delete held[path];
      else held[path] = { was, now: pending.get(path).next ?? now };
    }
    try {
      if (Object.keys(held).length > 0) localStorage.setItem(store, JSON.stringify(held));
      else localStorage.removeItem(store);
    } catch {
      // a browser that keeps nothing: the page still asks before it is left
    }
  };

  const fill = (text, n) => text.replace("{n}", n);
  const tell = () => {
    const n = pending.size;
    const waiting = [...pending.values()].some((one) => one.state === "sent");
    if (trouble) view.say(fill(words[trouble], n), trouble === "signedOut");
    else if (waiting) view.say(words.saving);
    else view.say(n > 0 ? fill(words.unsaved, n) : words.saved);
  };

  const add = (changes) => {
    for (const [path, was, now] of changes) {
      const held = pending.get(path);
      if (held?.state === "sent") held.next = now;
      else if (held && held.was === now && held.state !== "conflict") {
        pending.delete(path);
        view.done(path, null);
      } else pending.set(path, { was: held?.theirs?.[0] ?? held?.was ?? was, now, state: "waiting" });
    }
    keep(changes.map(([path]) => path));
    tell();
    send();
  };

  const settled = (path, cell) => {
    const held = pending.get(path);
    if (!held) return;
    if (held.next !== undefined && held.next !== cell[0]) {
      pending.set(path, { was: cell[0], now: held.next, state: "waiting" });
      return;
    }
    pending.delete(path);
    view.done(path, cell);
  };

  const take = (answer, paths) => {
    for (const path of paths) {
      const held = pending.get(path);
      if (answer.cells[path]) settled(path, answer.cells[path]);
      else if (answer.conflicts[path]) {
        Object.assign(held, { state: "conflict", theirs: answer.conflicts[path] });
        view.conflict(path, held.now, held.theirs);
      } else if (answer.problems[path]) {
        Object.assign(held, { state: "wrong", why: answer.problems[path] });
        view.wrong(path, held.now, held.why);
      }
      if (held?.next !== undefined && pending.get(path) === held) {
        Object.assign(held, { now: held.next, next: undefined, state: "waiting" });
      }
    }
    stamp = answer.stamp;
    keep(paths);
    if (answer.all) view.merge(answer.all, pending);
    view.worked(answer);
    channel?.postMessage(stamp);
  };

  const again = (which) => {
    trouble = which;
    for (const one of pending.values()) if (one.state === "sent") one.state = "waiting";
    for (const one of pending.values()) {
      if (one.next !== undefined) Object.assign(one, { now: one.next, next: undefined });
    }
    clearTimeout(timer);
    timer = setTimeout(send, RETRY_MS);
    tell();
  };

  const send = async () => {
    const due = [...pending].filter(([, one]) => one.state === "waiting");
    if (sending || due.length === 0) return;
    sending = true;
    clearTimeout(timer);
    for (const [, one] of due) one.state = "sent";
    tell();
    try {
      const answer = await fetch(`${words.parts}/changes`, {
        method: "POST",
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({ changes: due.map(([path, one]) => [path, one.was, one.now]), since: stamp }),
      });
      if (answer.status === 401 || answer.redirected) again("signedOut");
      else if (!answer.ok) again("refused");
      else {
        trouble = "";
        take(await answer.json(), due.map(([path]) => path));
        tell();
      }
    } catch {
      again("offline");
    }
    sending = false;
    if (!trouble) send();
  };

  const look = async () => {
    if (sending || document.hidden) return;
    try {
      const answer = await fetch(`${words.parts}/cells?since=${encodeURIComponent(stamp)}`);
      if (!answer.ok || answer.redirected) return;
      const found = await answer.json();
      if (sending) return;
      stamp = found.stamp;
      if (found.all) {
        view.merge(found.all, pending);
        view.worked(found);
      }
    } catch {
      // the next look tells
    }
  };

  const conflictOver = (path, mine) => {
    const held = pending.get(path);
    if (!held?.theirs) return;
    if (mine) pending.set(path, { was: held.theirs[0], now: held.now, state: "waiting" });
    else {
      pending.delete(path);
      view.done(path, held.theirs);
    }
    keep([path]);
    tell();
    send();
  };

  channel?.addEventListener("message", (event) => { if (event.data !== stamp) look(); });
  addEventListener("online", send);
  addEventListener("focus", () => { if (pending.size > 0) send(); look(); });
  document.addEventListener("visibilitychange", look);
  setInterval(look, LOOK_MS);
  addEventListener("beforeunload", (event) => { if (pending.size > 0 && !leaving) event.preventDefault(); });

  return {
    add,
    conflictOver,
    pending,
    leave: () => { leaving = true; },
    restore: () => {
      for (const [path, one] of Object.entries(stored())) {
        if (typeof one?.now !== "string") continue;
        pending.set(path, { was: String(one.was ?? ""), now: one.now, state: "waiting" });
        view.typed(path, one.now);
      }
      if (pending.size > 0) send();
    },
  };
}
