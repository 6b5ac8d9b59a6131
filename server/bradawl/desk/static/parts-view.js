// What of the parts sheet is looked at: search, filters, order, columns, picked lines.
const order = new Intl.Collator(undefined, { numeric: true, sensitivity: "base" });

/** `sheet` is the grid of parts.js: table, body, keys, raw, change, lines. */
export function viewer(sheet) {
  const { table, body, keys } = sheet;
  const tools = document.querySelector(".parts-tools");
  const bulk = document.querySelector(".parts-bulk");
  const store = "bradawl-parts-columns"; // a key: not shown
  const rules = new CSSStyleSheet();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, rules];
  const heads = [...table.tHead.rows[0].cells];
  let sorted = ["", 1];

  // ---- columns ----
  const boxes = [...tools.querySelectorAll("[data-column]")];
  const chosen = () => new Set(["what", ...boxes.filter((box) => box.checked).map((box) => box.dataset.column)]);
  const showColumns = () => {
    const shown = chosen();
    const hidden = heads.map((head, n) => [head.dataset.key, n + 1]).filter(([key]) => key && !shown.has(key));
    const widths = heads.filter((head) => !head.dataset.key || shown.has(head.dataset.key)).map((head) => `${head.dataset.width ?? 4}rem`);
    rules.replaceSync(
      `${hidden.map(([, n]) => `.parts tr > :nth-child(${n})`).join(",") || ".none"}{display:none !important}`,
    );
    table.style.setProperty("--columns", widths.join(" "));
    sheet.columnsShown(heads.map((head) => !head.dataset.key || shown.has(head.dataset.key)));
  };
  try {
    const kept = JSON.parse(localStorage.getItem(store) ?? "null");
    if (Array.isArray(kept)) for (const box of boxes) box.checked = kept.includes(box.dataset.column);
  } catch {
    // what was kept cannot be read: the usual columns
  }
  for (const box of boxes) {
    box.addEventListener("change", () => {
      showColumns();
      try {
        localStorage.setItem(store, JSON.stringify([...chosen()]));
      } catch {
        // a browser that keeps nothing
      }
    });
  }

  // ---- search, filters, order ----
  const at = (key) => keys.indexOf(key);
  const wanted = () => {
    const words = tools.querySelector("[data-search]").value.toLowerCase().split(/\s+/).filter(Boolean);
    const picks = [...tools.querySelectorAll("[data-filter]")].map((one) => [at(one.dataset.filter), one.value]).filter(([, value]) => value);
    return { words, picks, any: words.length > 0 || picks.length > 0 };
  };
  const fits = (tr, { words, picks }, job) => {
    if (!picks.every(([x, value]) => sheet.raw(tr.cells[x]) === value)) return false;
    const text = `${tr.textContent} ${job?.textContent ?? ""}`.toLowerCase();
    return words.every((word) => text.includes(word));
  };
  const filter = () => {
    const what = wanted();
    let job = null;
    let jobFits = false;
    let shown = 0;
    let all = 0;
    const flat = sorted[0] !== "";
    for (const tr of body.rows) {
      if (tr.classList.contains("of-job")) {
        if (job) job.hidden = flat || (what.any && !jobFits);
        job = tr;
        jobFits = what.picks.length === 0 && fits(tr, what);
        continue;
      }
      tr.hidden = tr.dataset.gone === "1" || !fits(tr, what, flat ? null : job);
      all += tr.dataset.gone === "1" ? 0 : 1;
      shown += tr.hidden ? 0 : 1;
      jobFits ||= !tr.hidden;
    }
    if (job) job.hidden = flat || (what.any && !jobFits);
    const said = what.any ? table.dataset.shown.replace("{n}", shown).replace("{all}", all) : "";
    document.querySelector(".parts-count").textContent = said;
    picked();
  };
  let home = null; // rows in the order of the jobs, while another order shows
  const sort = (key, way) => {
    if (sorted[0] === "" && key !== "") home = [...body.rows];
    sorted = [key, way];
    for (const head of heads) {
      if (head.dataset.key && head.dataset.key === key) head.setAttribute("aria-sort", way > 0 ? "ascending" : "descending");
      else head.removeAttribute("aria-sort");
    }
    tools.querySelector("[data-sort]").value = key;
    if (key === "") {
      if (home) body.append(...home.filter((tr) => tr.isConnected));
      home = null;
    } else {
      const x = at(key);
      const kind = heads[x].dataset.kind;
      const places = kind === "choice" ? heads[x].dataset.choices.split("|") : null;
      const value = (tr) => {
        const text = kind === "sum" || kind === "price" || kind === "money" ? tr.cells[x].textContent : sheet.raw(tr.cells[x]);
        if (places) return places.indexOf(text);
        if (kind === "date") return text === "" ? "" : (Date.parse(text) || text);
        if (kind === "text" || kind === "job") return text;
        return text === "" ? "" : Number(text.replace(/[^\d.]*([\d,.]+).*/, "$1").replaceAll(",", ""));
      };
      const rows = [...body.rows].map((tr) => [value(tr), tr]);
      const compare = ([a], [b]) => {
        if (a === "" || b === "") return (a === "") - (b === ""); // what says nothing comes last
        return way * (typeof a === "number" && typeof b === "number" ? a - b : order.compare(a, b));
      };
      body.append(...rows.sort(compare).map(([, tr]) => tr));
    }
    filter();
  };
  tools.querySelector("[data-search]").addEventListener("input", filter);
  for (const one of tools.querySelectorAll("[data-filter]")) one.addEventListener("change", filter);
  tools.querySelector("[data-sort]").addEventListener("change", (event) => sort(event.target.value, 1));
  for (const head of heads) {
    if (!head.dataset.key) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.tabIndex = -1;
    button.className = "sorts";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const [key, way] = sorted;
      if (key !== head.dataset.key) sort(head.dataset.key, 1);
      else if (way > 0) sort(key, -1);
      else sort("", 1);
    });
  }

  // ---- picked lines ----
  const ticked = () => [...body.querySelectorAll(".pick input:checked")].map((box) => box.closest("tr")).filter((tr) => !tr.hidden); // a selector: not shown
  const editor = bulk.querySelector("[data-bulk-value]");
  const column = bulk.querySelector("[data-bulk-column]");
  const picked = () => {
    const n = ticked().length;
    bulk.hidden = n === 0;
    bulk.querySelector("[data-picked]").textContent = table.dataset.picked.replace("{n}", n);
  };
  const newEditor = () => {
    const made = sheet.editorFor(at(column.value), "");
    made.setAttribute("aria-label", table.dataset.value);
    editor.replaceChildren(made);
  };
  column.value = "state";
  newEditor();
  column.addEventListener("change", newEditor);
  body.addEventListener("change", (event) => { if (event.target.closest(".pick")) picked(); });
  const unpick = () => {
    for (const box of table.querySelectorAll(".pick input")) box.checked = false; // a selector: not shown
    picked();
  };
  const acts = {
    bulk: () => {
      const x = at(column.value);
      sheet.change(ticked().map((tr) => [tr.cells[x], editor.firstChild.value]));
      unpick();
    },
    remove: () => {
      sheet.remove(ticked());
      unpick();
    },
  };
  bulk.addEventListener("click", (event) => acts[event.target.closest("[data-act]")?.dataset.act]?.());
  const all = document.createElement("input");
  all.type = "checkbox";
  all.tabIndex = -1;
  all.setAttribute("aria-label", table.dataset.pickAll);
  heads[0].replaceChildren(all);
  all.addEventListener("change", () => {
    for (const box of body.querySelectorAll(".pick input")) box.checked = all.checked && !box.closest("tr").hidden; // a selector: not shown
    picked();
  });

  // what a line is stays in sight (parts.css)
  const pane = table.parentElement;
  pane.addEventListener("scroll", () => pane.classList.toggle("sideways", pane.scrollLeft > 0), { passive: true });

  tools.hidden = false;
  showColumns();
  filter();
  return { filter, isFlat: () => sorted[0] !== "", placeHome: (tr, after) => { if (home) home.splice(home.indexOf(after) + 1, 0, tr); } };
}
