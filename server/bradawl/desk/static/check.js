// Checks a checklist's text while it is typed; the server alone knows what is sound.
const form = document.querySelector("form[data-check]");
const place = form?.querySelector(".faults");
const text = form?.querySelector("textarea");
let waiting = 0;
let asked = 0;

const line = (words, name) => {
  const made = document.createElement(name);
  made.textContent = words;
  return made;
};

const show = (found) => {
  const head = line(found.summary, "p");
  place.replaceChildren(head);
  if (found.faults.length === 0) return;
  head.className = "bad";
  const list = document.createElement("ul");
  list.append(...found.faults.slice(0, 30).map((fault) => line(fault, "li")));
  place.append(list);
};

const check = async () => {
  const turn = ++asked;
  const body = new URLSearchParams({ text: text.value });
  try {
    const answer = await fetch(form.dataset.check, { method: "POST", body });
    const found = await answer.json();
    // an older answer must not overwrite a newer one
    if (turn === asked && found.faults) show(found);
  } catch {
    if (turn === asked) place.replaceChildren(line(form.dataset.noAnswer, "p"));
  }
};

text?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(check, 500);
});
let unsaved = false;
text?.addEventListener("input", () => { unsaved = true; });
form?.addEventListener("submit", () => { unsaved = false; });
addEventListener("beforeunload", (event) => { if (unsaved) event.preventDefault(); });
form?.addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") {
    event.preventDefault();
    form.requestSubmit();
  }
});
