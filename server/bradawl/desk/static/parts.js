// The parts sheet: one grid with one tab stop and one editor. The server rendered every cell; this
// moves, edits, copies, pastes and undoes. A change is [path, was, now]; one paste is one undo.
import { clipboard } from "./parts-clipboard.js";
import { editing } from "./parts-editor.js";
import { saver } from "./parts-save.js";
import { viewer } from "./parts-view.js";

const table = document.querySelector("table[data-parts]");
const body = table.tBodies[0];
const words = table.dataset;
const heads = [...table.tHead.rows[0].cells];
const keys = heads.map((head) => head.dataset.key ?? "");
const template = document.getElementById("new-line").content.querySelector("tr");
const undo = [];
const redo = [];
const saved = new Map(); // path: what our own last change of it came to, as the server wrote it
let visible = heads.map(() => true);
let at = null; // the cell with the tab stop
let from = null; // where a selection began
let selected = [];

const raw = (td) => td.dataset.raw ?? td.textContent;
const pathOf = (td) => `${td.parentNode.dataset.row}/${keys[td.cellIndex]}`;
const isJob = (tr) => tr.classList.contains("of-job");
const isFixed = (td) => "fixed" in td.dataset || td.cellIndex === 0;
const rowOf = (name) => body.querySelector(`tr[data-row="${CSS.escape(name)}"]`); // a selector: not shown
const cellOf = (path) => {
  const cut = path.lastIndexOf("/");
  return rowOf(path.slice(0, cut))?.cells[keys.indexOf(path.slice(cut + 1))];
};
const shownRows = () => [...body.rows].filter((tr) => !tr.hidden);

// ---- what stands in a cell ----

const paint = (td, text, shown) => {
  if (td.contains(edit.now())) return;
  delete td.dataset.state;
  td.removeAttribute("aria-invalid");
  td.textContent = shown;
  if (text === shown) delete td.dataset.raw;
  else td.dataset.raw = text;
};
const mark = (td, state) => { td.dataset.state = state; };

const element = (name, text, className = "") => {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
};

const view = {
  done(path, cell) {
    const td = cellOf(path);
    if (path.endsWith("/removed") || !td) return;
    if (cell) {
      saved.set(path, cell[0]);
      paint(td, cell[0], cell[1]);
    } else delete td.dataset.state;
  },
  typed(path, now) {
    const [, id] = path.split("/");
    if (path.startsWith("parts/") && !rowOf(`parts/${id}`)) newLine(null, id);
    if (path.endsWith("/removed")) {
      const tr = rowOf(`parts/${id}`);
      if (tr) tr.dataset.gone = now;
      return;
    }
    const td = cellOf(path);
    if (!td) return;
    paint(td, now, now);
    mark(td, "saving");
  },
  wrong(path, now, why) {
    const td = cellOf(path);
    if (!td) return;
    paint(td, now, "");
    td.replaceChildren(element("span", now), element("span", why, "why"));
    td.dataset.raw = now;
    td.setAttribute("aria-invalid", "true");
    mark(td, "wrong");
  },
  conflict(path, now, theirs) {
    const td = cellOf(path);
    if (!td) return;
    const line = (label, text, act, mine) => {
      const made = element("span", "", "side");
      const button = element("button", act);
      button.type = "button";
      button.addEventListener("click", (event) => {
        event.stopPropagation();
        paint(td, now, now);
        if (mine) mark(td, "saving");
        save.conflictOver(path, mine);
        go(td);
      });
      made.append(element("b", label), " ", text || words.empty, " ", button);
      return made;
    };
    td.replaceChildren(
      line(words.yours, now, words.keepMine, true),
      line(words.theirs, theirs[1], words.takeTheirs, false),
    );
    td.dataset.raw = now;
    td.setAttribute("aria-invalid", "true");
    mark(td, "conflict");
  },
  merge(all, pending) {
    const held = new Set(all.lines.map(([id]) => `parts/${id}`));
    for (const [id, job] of all.lines) {
      if (!rowOf(`parts/${id}`)) newLine(rowOf(`job/${job}`) ?? rowOf("job/"), id);
    }
    for (const tr of body.rows) {
      if (isJob(tr)) {
        for (const td of tr.cells) if (!isFixed(td)) mergeCell(td, all.cells, pending);
      } else if (held.has(tr.dataset.row)) {
        if (!pending.has(`${tr.dataset.row}/removed`)) tr.dataset.gone = "";
        for (const td of tr.cells) if (!isFixed(td)) mergeCell(td, all.cells, pending);
      } else if (!("fresh" in tr.dataset) && ![...pending.keys()].some((path) => path.startsWith(tr.dataset.row))) {
        tr.dataset.gone = "1";
      }
    }
    const jobs = [...body.querySelectorAll("tr.of-job")].map((tr) => tr.dataset.row.slice(4)); // a selector: not shown
    if (jobs.sort().join() !== [...all.jobs].sort().join()) notice(words.replanned, words.reload, location.pathname);
    shown.filter();
  },
  worked(answer) {
    const x = keys.indexOf("total");
    const say = (tr, said) => { if (tr && tr.cells[x].textContent !== said) tr.cells[x].textContent = said; };
    for (const [name, said] of Object.entries(answer.sums)) say(rowOf(name), said);
    for (const tr of body.querySelectorAll("tr.of-job")) say(tr, answer.sums[tr.dataset.row] ?? ""); // a selector: not shown
    for (const one of document.querySelectorAll("[data-total]")) one.textContent = answer.totals[one.dataset.total];
  },
  say(text, signIn = false) {
    const status = document.querySelector(".parts-said");
    if (status.textContent !== text) status.textContent = text;
    const next = encodeURIComponent(location.pathname);
    if (signIn) notice(text, words.signIn, `/desk/sign-in?next=${next}`);
    else if (text === words.saved) notice("");
  },
};
const mergeCell = (td, cells, pending) => {
  const path = pathOf(td);
  const [text, said] = cells[path] ?? ["", ""];
  if (pending.has(path) || td.contains(edit.now()) || raw(td) === text) return;
  paint(td, text, said);
  mark(td, "theirs");
};
const notice = (text, link = "", address = "") => {
  const place = document.querySelector(".parts-notice");
  place.hidden = text === "";
  place.replaceChildren();
  if (!text) return;
  const p = element("p", `${text} `);
  const a = element("a", link, "button");
  a.href = address;
  a.addEventListener("click", () => save.leave());
  p.append(a);
  place.append(p);
};

// ---- lines ----

const prepare = (tr) => {
  tr.setAttribute("role", "row");
  for (const td of tr.cells) {
    td.setAttribute("role", td.tagName === "TH" ? "rowheader" : "gridcell");
    const head = heads[td.cellIndex];
    if (isFixed(td)) td.setAttribute("aria-readonly", "true");
    if (head.classList.contains("figure")) td.classList.add("figure");
    if (td.cellIndex > 0) td.dataset.label = labels[td.cellIndex];
  }
  if (isJob(tr)) return;
  const box = document.createElement("input");
  box.type = "checkbox";
  box.tabIndex = -1;
  box.setAttribute("aria-label", words.pick.replace("{what}", tr.cells[1].textContent || "–"));
  tr.cells[0].replaceChildren(box);
};
const newId = () => [...crypto.getRandomValues(new Uint8Array(6))].map((n) => n.toString(16).padStart(2, "0")).join("");

/** A new line below `after`, or below the last line of its job where `after` is the job's row. */
function newLine(after, id = newId()) {
  const tr = template.cloneNode(true);
  tr.dataset.row = `parts/${id}`;
  tr.id = `line-${id}`;
  prepare(tr);
  let last = after ?? rowOf("job/") ?? body.lastElementChild;
  const job = jobOf(last);
  while (isJob(last) || last === after) {
    const next = last.nextElementSibling;
    if (!next || isJob(next) || !isJob(after ?? last)) break;
    last = next;
    while (last.nextElementSibling && !isJob(last.nextElementSibling)) last = last.nextElementSibling;
    break;
  }
  last.after(tr);
  shown?.placeHome(tr, last);
  const td = tr.cells[keys.indexOf("job")];
  if (job) paint(td, job.dataset.row.slice(4), job.cells[1].textContent);
  tr.dataset.fresh = job?.dataset.count ?? "";
  return tr;
}
function jobOf(tr) {
  if (shown?.isFlat()) return rowOf(`job/${raw(tr.cells[keys.indexOf("job")])}`);
  let one = tr;
  while (one && !isJob(one)) one = one.previousElementSibling;
  return one;
}
/** What a new line carries along with the first cell that is typed into it. */
const firstly = (tr, changes) => {
  if (!("fresh" in tr.dataset)) return [];
  const count = tr.dataset.fresh;
  delete tr.dataset.fresh;
  const job = tr.cells[keys.indexOf("job")];
  const along = [[job, "", raw(job)]];
  const quantity = tr.cells[keys.indexOf("quantity")];
  if (count && !changes.some(([td]) => td === quantity)) along.push([quantity, "", count]);
  return along.filter(([, , now]) => now);
};
const addLine = () => {
  const base = at?.parentNode.parentNode === body ? at.parentNode : (rowOf("job/") ?? body.lastElementChild);
  const tr = newLine(base);
  go(tr.cells[1]);
  edit.open(tr.cells[1]);
};

// ---- changing ----

/** One step: `wants` is [cell, text] for each cell. */
const change = (wants) => {
  const rows = new Set();
  let real = wants.filter(([td, now]) => td && !isFixed(td) && raw(td) !== now).map(([td, now]) => [td, raw(td), now]);
  if (real.length === 0) return;
  for (const [td] of real) rows.add(td.parentNode);
  real = [...[...rows].flatMap((tr) => firstly(tr, real)), ...real];
  const step = real.map(([td, was, now]) => [pathOf(td), was, now]);
  for (const [td, , now] of real) {
    paint(td, now, now);
    mark(td, "saving");
  }
  undo.push(step);
  redo.length = 0;
  save.add(step);
  buttons();
};
const remove = (rows) => {
  const step = rows.map((tr) => [`${tr.dataset.row}/removed`, "", "1"]);
  if (step.length === 0) return;
  for (const tr of rows) tr.dataset.gone = "1";
  undo.push(step);
  redo.length = 0;
  save.add(step);
  shown.filter();
  buttons();
};
const turn = (stack, other) => {
  const step = stack.pop();
  if (!step) return;
  const back = step.map(([path, was, now]) => [path, saved.get(path) ?? now, was]);
  other.push(step.map(([path, was, now]) => [path, now, was]));
  for (const [path, , now] of back) view.typed(path, now);
  save.add(back);
  shown.filter();
  const td = cellOf(back[0][0]);
  if (td) go(td);
  buttons();
};
const buttons = () => {
  document.querySelector('[data-act="undo"]').disabled = undo.length === 0;
  document.querySelector('[data-act="redo"]').disabled = redo.length === 0;
};

// ---- moving and selecting ----

const area = () => {
  const rows = shownRows();
  const [y0, y1] = [rows.indexOf(from.parentNode), rows.indexOf(at.parentNode)].sort((a, b) => a - b);
  const [x0, x1] = [from.cellIndex, at.cellIndex].sort((a, b) => a - b);
  return rows.slice(Math.max(y0, 0), y1 + 1).map((tr) => [...tr.cells].slice(x0, x1 + 1).filter((td) => visible[td.cellIndex]));
};
const go = (td, extend = false) => {
  if (!td) return;
  for (const old of selected) old.removeAttribute("aria-selected");
  selected = [];
  if (at) at.tabIndex = -1;
  at = td;
  if (!extend || !from?.isConnected) from = td;
  td.tabIndex = 0;
  const inside = td.closest("thead") ? td.querySelector("button, input") : null; // a selector: not shown
  (inside ?? td).focus();
  if (from !== at) selected = area().flat();
  for (const one of selected) one.setAttribute("aria-selected", "true");
};
const beside = (td, by) => {
  let x = td.cellIndex + by;
  while (x >= 0 && x < visible.length && !visible[x]) x += by;
  return td.parentNode.cells[x];
};
const lineStep = (td, by) => {
  let tr = td.parentNode;
  do tr = by > 0 ? tr.nextElementSibling : tr.previousElementSibling; while (tr?.hidden);
  if (!tr && by < 0 && td.parentNode.parentNode === body) tr = table.tHead.rows[0];
  if (!tr && by > 0 && td.closest("thead")) tr = shownRows()[0];
  return tr?.cells[td.cellIndex];
};

// ---- hands ----

body.addEventListener("click", (event) => {
  const add = event.target.closest("a.add");
  if (add) {
    event.preventDefault();
    go(add.closest("td"));
    addLine();
    return;
  }
  const td = event.target.closest("td, th"); // a selector: not shown
  if (!td || td.cellIndex === 0 || td.contains(edit.now()) || event.target.closest("button")) return;
  const onPhone = matchMedia("(max-width: 48rem)").matches;
  if ((td === at || onPhone) && !event.shiftKey) {
    go(td);
    edit.open(td);
  } else go(td, event.shiftKey);
});
table.addEventListener("keydown", (event) => {
  const td = event.target.closest("td, th"); // a selector: not shown
  if (!td || edit.now() || event.target.closest("td button")) return; // a selector: not shown
  const mod = event.ctrlKey || event.metaKey;
  const rows = shownRows();
  const last = visible.lastIndexOf(true);
  const places = {
    ArrowDown: () => (mod ? rows.at(-1)?.cells[td.cellIndex] : lineStep(td, 1)),
    ArrowUp: () => (mod ? rows[0]?.cells[td.cellIndex] : lineStep(td, -1)),
    ArrowLeft: () => (mod ? td.parentNode.cells[1] : beside(td, -1)),
    ArrowRight: () => (mod ? td.parentNode.cells[last] : beside(td, 1)),
    Home: () => (mod ? rows[0] : td.parentNode)?.cells[1],
    End: () => (mod ? rows.at(-1) : td.parentNode)?.cells[last],
    PageDown: () => rows[Math.min(rows.length - 1, rows.indexOf(td.parentNode) + 12)]?.cells[td.cellIndex],
    PageUp: () => rows[Math.max(0, rows.indexOf(td.parentNode) - 12)]?.cells[td.cellIndex],
  };
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (places[event.key]) {
    event.preventDefault();
    go(places[event.key]() ?? td, event.shiftKey);
    return;
  }
  if (td.closest("thead")) return;
  const link = td.querySelector("a, input");
  if (event.key === "Insert") addLine();
  else if (td.cellIndex === 0 && ["Enter", " "].includes(event.key)) link?.click();
  else if (event.key === " " && event.shiftKey) td.parentNode.querySelector(".pick input")?.click(); // a selector: not shown
  else if (event.key === "Enter" || event.key === "F2") edit.open(td);
  else if (event.key === "Delete" || event.key === "Backspace") change(area().flat().map((one) => [one, ""]));
  else if (mod && key === "z" && !event.shiftKey) turn(undo, redo);
  else if (mod && (key === "y" || key === "z")) turn(redo, undo);
  else if (mod && key === "d") fillDown();
  else if (mod && key === "a") {
    go(rows[0].cells[1]);
    go(rows.at(-1).cells[last], true);
  } else if (event.key.length === 1 && !mod && !event.altKey) edit.open(td, event.key);
  else return;
  event.preventDefault();
});
const fillDown = () => {
  const [first, ...rest] = area();
  change(rest.flatMap((row) => row.map((td, n) => [td, raw(first[n])])));
};

// ---- beginning ----

const labels = heads.map((head) => head.textContent.trim());
table.setAttribute("role", "grid");
table.setAttribute("aria-multiselectable", "true");
for (const part of [table.tHead, body]) part.setAttribute("role", "rowgroup");
table.tHead.rows[0].setAttribute("role", "row");
for (const head of heads) head.setAttribute("role", "columnheader");
for (const tr of body.rows) prepare(tr);
for (const add of body.querySelectorAll("a.add")) add.tabIndex = -1;
const edit = editing({ body, heads, keys, labels, raw, isFixed, change, area, go, lineStep, beside });
clipboard({
  keys,
  raw,
  isJob,
  area,
  here: () => (at && !edit.now() && document.activeElement === at ? at : null),
  visible: () => visible,
  newLine,
  change,
});
const save = saver(table, view);
let shown = null;
shown = viewer({
  table,
  body,
  keys,
  raw,
  change,
  remove,
  editorFor: edit.editorFor,
  columnsShown: (which) => { visible = which; },
});
document.querySelector(".parts-scroll").removeAttribute("tabindex");
document.querySelector(".parts-tools").addEventListener("click", (event) => {
  const act = event.target.closest("[data-act]")?.dataset.act;
  if (act === "add") addLine();
  else if (act === "undo") turn(undo, redo);
  else if (act === "redo") turn(redo, undo);
  else if (act === "print") print();
});
at = shownRows()[0]?.cells[1] ?? null;
from = at;
if (at) at.tabIndex = 0;
save.restore();
shown.filter();
