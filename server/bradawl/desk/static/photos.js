// A photo opens over its page: next, previous, larger, and two side by side. Without a script, the
// link opens the photo itself.
(() => {
  const words = document.currentScript.dataset;
  const links = [...document.querySelectorAll("figure a[href^='/desk/photos/']")];
  if (links.length === 0) return;

  const dialog = document.createElement("dialog");
  dialog.className = "viewer";
  dialog.setAttribute("aria-label", words.title);
  const stage = document.createElement("div");
  stage.className = "viewer-stage";
  stage.tabIndex = 0;
  const bar = document.createElement("div");
  bar.className = "viewer-bar";
  const caption = document.createElement("p");
  caption.setAttribute("role", "status");
  let at = 0;
  let pinned = -1;

  const button = (text, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "second";
    made.textContent = text;
    made.addEventListener("click", act);
    bar.append(made);
    return made;
  };
  const pictureOf = (n) => {
    const shown = links[n].querySelector("img");
    const figure = document.createElement("figure");
    const image = document.createElement("img");
    image.src = links[n].href;
    image.alt = shown.alt;
    const said = document.createElement("figcaption");
    said.textContent = links[n].closest("figure").querySelector("figcaption")?.textContent.trim() ?? "";
    figure.append(image, said);
    return figure;
  };
  const show = () => {
    stage.replaceChildren(...(pinned >= 0 && pinned !== at ? [pictureOf(pinned)] : []), pictureOf(at));
    caption.textContent = words.place.replace("%1", at + 1).replace("%2", links.length);
    beside.setAttribute("aria-pressed", String(pinned >= 0));
  };
  const step = (by) => {
    at = (at + by + links.length) % links.length;
    show();
  };
  const zoom = (on = !stage.classList.contains("large")) => {
    stage.classList.toggle("large", on);
    larger.setAttribute("aria-pressed", String(on));
  };

  button(words.previous, () => step(-1));
  button(words.next, () => step(1));
  const larger = button(words.larger, () => zoom());
  const beside = button(words.beside, () => {
    pinned = pinned >= 0 ? -1 : at;
    if (pinned >= 0 && links.length > 1) at = (at + 1) % links.length;
    show();
  });
  larger.setAttribute("aria-pressed", "false");
  button(words.close, () => dialog.close());
  dialog.append(bar, caption, stage);
  document.body.append(dialog);
  dialog.addEventListener("keydown", (event) => {
    if (stage.classList.contains("large") && event.target === stage) return; // arrows scroll what is large
    if (event.key === "ArrowRight") step(1);
    if (event.key === "ArrowLeft") step(-1);
  });
  dialog.addEventListener("close", () => {
    pinned = -1;
    zoom(false);
    links[at].focus();
  });
  for (const [n, link] of links.entries()) {
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return; // a tab of its own was asked for
      event.preventDefault();
      at = n;
      show();
      dialog.showModal();
    });
  }
})();
