// Cells of the parts sheet to and from the clipboard, as spreadsheets copy them.

/** `grid` is what parts.js knows of its cells; `here` is the cell that takes keys, if one does. */
export function clipboard(grid) {
  const { keys, raw, isJob, area, here, visible, newLine, change } = grid;
  document.addEventListener("copy", (event) => {
    if (!here() || String(getSelection())) return;
    event.preventDefault();
    const text = area().map((row) => row.filter((td) => td.cellIndex > 0).map((td) => quoted(keys[td.cellIndex] === "job" ? td.textContent : raw(td))).join("\t")).join("\n");
    event.clipboardData.setData("text/plain", text);
  });
  document.addEventListener("paste", (event) => {
    const cell = here();
    if (!cell || cell.cellIndex === 0) return;
    event.preventDefault();
    const lines = parse(event.clipboardData.getData("text/plain"));
    const wants = [];
    const alone = lines.length === 1 && lines[0].length === 1;
    if (alone) for (const td of area().flat()) wants.push([td, lines[0][0]]);
    else {
      let tr = cell.parentNode;
      if (isJob(tr)) tr = newLine(tr);
      const columns = [...visible().keys()].filter((x) => x >= cell.cellIndex && visible()[x]);
      lines.forEach((line, n) => {
        line.forEach((now, i) => { if (columns[i] !== undefined) wants.push([tr.cells[columns[i]], now]); });
        if (n === lines.length - 1) return;
        let next = tr.nextElementSibling;
        while (next?.hidden && !isJob(next)) next = next.nextElementSibling;
        tr = next && !isJob(next) ? next : newLine(tr);
      });
    }
    change(wants);
  });
}

/** Cells of a text that a spreadsheet copied: tabs, line ends, and quotes around either. */
export const parse = (text) => {
  const rows = [[]];
  const whole = text.replace(/\r\n?/g, "\n").replace(/\n$/, "");
  for (const match of whole.matchAll(/("(?:[^"]|"")*"(?=[\t\n]|$)|[^\t\n]*)(\t|\n|$)/g)) {
    const [, cell, end] = match;
    const isQuoted = cell.length > 1 && cell.startsWith('"') && cell.endsWith('"');
    rows.at(-1).push((isQuoted ? cell.slice(1, -1).replaceAll('""', '"') : cell).replace(/\s+/g, " ").trim());
    if (end === "\n") rows.push([]);
    else if (end === "") break;
  }
  return rows;
};

/** A cell's text among others: in quotes where it holds what parts them. */
export const quoted = (text) => (/[\t\n"]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
