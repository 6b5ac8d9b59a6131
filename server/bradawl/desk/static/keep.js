// Nothing typed is lost: a form asks before it is left, is not sent into the void, and what was typed
// comes back after a sign-in, an error page or a way back. Kept in this tab alone (sessionStorage),
// never a passphrase and never a file; a form with `data-keep="off"` looks after itself.
(() => {
  const words = document.currentScript.dataset;
  const GATES = ["/desk/sign-in", "/desk/confirm", "/desk/first"];
  const PREFIX = "typed ";
  const ANSWER_MS = 10_000;

  const isGate = GATES.includes(location.pathname);
  const hasFailed = "failed" in document.body.dataset;
  let isSending = false;

  const fieldsOf = (form) =>
    [...form.elements].filter(
      (field) =>
        field.name &&
        /^(INPUT|SELECT|TEXTAREA)$/.test(field.tagName) &&
        !/^(hidden|password|file|submit|button|reset|image)$/.test(field.type),
    );
  const standing = (field) => {
    if (field.type === "checkbox" || field.type === "radio") return field.defaultChecked ? "1" : "";
    if (field.tagName !== "SELECT") return field.defaultValue;
    const chosen = [...field.options].filter((one) => one.defaultSelected).map((one) => one.value);
    return (field.multiple || chosen.length ? chosen : [field.options[0]?.value ?? ""]).join("\n");
  };
  const typed = (field) => {
    if (field.type === "checkbox" || field.type === "radio") return field.checked ? "1" : "";
    if (field.tagName !== "SELECT") return field.value;
    return [...field.selectedOptions].map((one) => one.value).join("\n");
  };
  const type = (field, value) => {
    if (field.type === "checkbox" || field.type === "radio") field.checked = value === "1";
    else if (field.tagName !== "SELECT") field.value = value;
    else for (const one of field.options) one.selected = value.split("\n").includes(one.value);
  };

  const forms = [...document.querySelectorAll("form[method=post]")]
    .filter((form) => form.dataset.keep !== "off" && !form.querySelector("[type=password]") && fieldsOf(form).length > 0)
    .map((form) => {
      const path = new URL(form.action).pathname;
      // of forms with one address, the hidden fields say which is which, but for stamps of a moment
      const hidden = [...form.querySelectorAll("[type=hidden]")].filter((one) => /^(entry|item|job|row|path|remedy|test|cause)$/.test(one.name));
      const which = hidden.map((one) => one.value).join(" ");
      return { form, key: `${PREFIX}${path} ${which}` };
    })
    // two that look alike are told apart by their order
    .map((one, n, all) => ({ ...one, key: `${one.key} ${all.slice(0, n).filter((other) => other.key === one.key).length}` }));

  const changed = (form) => {
    const seen = new Map();
    const found = [];
    for (const field of fieldsOf(form)) {
      const nth = seen.get(field.name) ?? 0;
      seen.set(field.name, nth + 1);
      const [now, was] = [typed(field), standing(field)];
      if (now !== was) found.push([field.name, nth, now, was]);
    }
    return found;
  };
  const hasFiles = (form) => [...form.querySelectorAll("[type=file]")].some((one) => one.files.length > 0);
  const isUnsaved = ({ form }) => "unsaved" in form.dataset || changed(form).length > 0;

  function keep({ form, key }, isSent) {
    const fields = changed(form);
    try {
      if (fields.length === 0) sessionStorage.removeItem(key);
      else sessionStorage.setItem(key, JSON.stringify({ fields, files: hasFiles(form), isSent }));
    } catch {
      // no room, or storage forbidden: the question before leaving is still asked
    }
  }

  const kept = (key) => {
    try {
      return JSON.parse(sessionStorage.getItem(key));
    } catch {
      return null;
    }
  };
  const keys = () => {
    try {
      return Object.keys(sessionStorage).filter((key) => key.startsWith(PREFIX));
    } catch {
      return [];
    }
  };

  // What became of forms that were sent from the page before.
  function settle() {
    for (const key of keys()) {
      const one = kept(key);
      if (!one?.isSent) continue;
      const here = forms.find((form) => form.key === key);
      if (hasFailed && here) {
        here.form.dataset.unsaved = ""; // the server gave back what was typed, and says what is wrong with it
        sessionStorage.removeItem(key);
      } else if (isGate || hasFailed) sessionStorage.setItem(key, JSON.stringify({ ...one, isSent: false }));
      else sessionStorage.removeItem(key);
    }
  }

  function note(text, before, role) {
    document.querySelector(".keep-note")?.remove();
    const box = document.createElement("div");
    box.className = role === "alert" ? "problem keep-note" : "note keep-note";
    box.setAttribute("role", role);
    const line = document.createElement("p");
    line.textContent = text;
    box.append(line);
    before.before(box);
    return box;
  }

  const labelOf = (field) => (field.getAttribute("aria-label") ?? field.labels?.[0]?.textContent ?? field.name).trim();

  function restore() {
    const back = [];
    const moved = [];
    let files = false;
    for (const { form, key } of forms) {
      const one = kept(key);
      if (!one) continue;
      for (const [name, nth, value, was] of one.fields) {
        const field = fieldsOf(form).filter((other) => other.name === name)[nth];
        if (!field) continue;
        if (standing(field) !== was && standing(field) !== value && field.type !== "checkbox" && field.type !== "radio")
          moved.push(`${labelOf(field)}: ${standing(field) || "–"}`);
        type(field, value);
        field.closest("details")?.setAttribute("open", "");
      }
      files ||= one.files;
      back.push({ form, key });
    }
    const unsaved = back.filter(isUnsaved);
    for (const { key } of back.filter((one) => !isUnsaved(one))) sessionStorage.removeItem(key);
    if (unsaved.length === 0) return;
    const said = [words.back];
    if (moved.length > 0) said.push(`${words.moved} ${moved.join("; ")}.`);
    if (files) said.push(words.files);
    const box = note(said.join(" "), unsaved[0].form, "status");
    const away = document.createElement("button");
    away.type = "button";
    away.className = "second";
    away.textContent = words.drop;
    away.addEventListener("click", () => {
      for (const { form, key } of unsaved) {
        form.reset();
        sessionStorage.removeItem(key);
      }
      box.remove();
    });
    box.append(away);
  }

  // Whether the server answers and knows who asks: "yes", "silent", or "gone".
  async function isThere() {
    try {
      const answer = await fetch("/desk/reading", { redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(ANSWER_MS) });
      return answer.type === "opaqueredirect" ? "gone" : "yes";
    } catch {
      return "silent";
    }
  }

  async function send(one, submitter) {
    one.form.dataset.asking = "";
    const there = await isThere();
    delete one.form.dataset.asking;
    if (there === "yes") {
      one.form.dataset.passing = "";
      one.form.requestSubmit(submitter);
      delete one.form.dataset.passing; // where a field was refused, nothing was sent
      return;
    }
    keep(one, false);
    const box = note(there === "gone" ? words.signin : words.lost, one.form, "alert");
    if (there === "gone") {
      const link = document.createElement("a");
      link.href = `/desk/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`;
      link.textContent = words.signinGo;
      link.addEventListener("click", () => { isSending = true; });
      box.append(link);
    }
    box.scrollIntoView({ block: "nearest" });
  }

  addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    if (new URL(event.target.action).pathname === "/desk/sign-out") {
      if (forms.some(isUnsaved) && !confirm(words.leave)) event.preventDefault();
      else {
        for (const key of keys()) sessionStorage.removeItem(key); // the next person here must not see it
        isSending = true;
        for (const { form } of forms) form.dataset.keep = "off";
      }
      return;
    }
    const one = forms.find(({ form }) => form === event.target);
    if (one && !("passing" in one.form.dataset)) {
      event.preventDefault();
      if (!("asking" in one.form.dataset)) send(one, event.submitter);
      return;
    }
    isSending = true;
    if (one) {
      keep(one, true);
      one.form.dataset.sent = "";
    }
  });
  addEventListener("input", () => { isSending = false; }); // the answer was a file, and the page is still here
  addEventListener("beforeunload", (event) => {
    if (!isSending && forms.some(isUnsaved)) event.preventDefault();
  });
  addEventListener("pagehide", () => {
    for (const one of forms) if (!("sent" in one.form.dataset) && one.form.dataset.keep !== "off") keep(one, false);
  });
  // shown again as it was left: what stands on the server may be another by now
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });

  settle();
  if (!isGate && !hasFailed) restore();
})();
