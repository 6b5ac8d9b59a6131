// The one editor of the parts sheet.

/** `grid` is what parts.js knows of its cells; `open` puts an editor into one. */
export function editing(grid) {
  const { body, heads, keys, labels, raw, isFixed, change, area, go, lineStep, beside } = grid;
  let editor = null;

  function editorFor(x, text) {
    const { kind, choices } = heads[x].dataset;
    let made;
    if (kind === "choice" || kind === "job") {
      made = document.createElement("select");
      if (kind === "choice") {
        if (keys[x] === "origin") made.append(new Option(""));
        for (const word of choices.split("|")) made.append(new Option(word));
      } else {
        for (const tr of body.querySelectorAll("tr.of-job")) made.append(new Option(tr.cells[1].textContent, tr.dataset.row.slice(4))); // a selector: not shown
      }
    } else {
      made = document.createElement("input");
      if (["count", "money", "hours"].includes(kind)) made.inputMode = "decimal";
      made.autocomplete = "off";
    }
    made.value = text;
    return made;
  }
  function open(td, typed) {
    if (isFixed(td) || td.dataset.state === "conflict") return;
    const was = raw(td);
    const kept = [...td.childNodes];
    editor = editorFor(td.cellIndex, was);
    const isPicked = editor.tagName === "SELECT";
    if (typed !== undefined && !isPicked) editor.value = typed;
    if (typed !== undefined && isPicked) {
      const one = [...editor.options].find((option) => option.text.toLowerCase().startsWith(typed.toLowerCase()));
      if (one) editor.value = one.value;
    }
    editor.setAttribute("aria-label", `${labels[td.cellIndex]}: ${td.parentNode.cells[1].textContent}`);
    td.replaceChildren(editor);
    editor.focus();
    if (typed === undefined) editor.select?.();
    const mine = editor;
    let closed = false;
    const close = (keep, everywhere = false) => {
      if (closed) return;
      closed = true;
      const now = mine.value.trim();
      editor = null;
      td.replaceChildren(...kept);
      if (keep) change(everywhere ? area().flat().filter((one) => one.cellIndex === td.cellIndex).map((one) => [one, now]) : [[td, now]]);
    };
    mine.addEventListener("blur", () => close(true));
    mine.addEventListener("keydown", (event) => {
      if (event.isComposing || !["Enter", "Tab", "Escape"].includes(event.key)) return;
      event.preventDefault();
      event.stopPropagation();
      const step = event.shiftKey ? -1 : 1;
      const everywhere = event.key === "Enter" && (event.ctrlKey || event.metaKey);
      close(event.key !== "Escape", everywhere);
      if (event.key === "Enter" && !everywhere) go(lineStep(td, step) ?? td);
      else if (event.key === "Tab") go(beside(td, step) ?? td);
      else go(td);
    });
  }

  return { editorFor, open, now: () => editor };
}
