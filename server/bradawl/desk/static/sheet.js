// A form that behaves like a spreadsheet: arrows and Enter move, and cells are pasted from one.
for (const form of document.querySelectorAll("form[data-sheet]")) {
  // The grid is what is on the page: each row's text cells, left to right.
  const grid = [...form.querySelectorAll("tbody tr")] // a selector: not shown
    .map((row) => [...row.querySelectorAll("input:not([type]), input[type=text]")])
    .filter((cells) => cells.length > 0);
  const placeOf = (cell) => {
    for (const [y, row] of grid.entries()) {
      const x = row.indexOf(cell);
      if (x >= 0) return [x, y];
    }
    return null;
  };
  let unsaved = false;
  form.addEventListener("input", () => { unsaved = true; });
  form.addEventListener("submit", () => { unsaved = false; });
  addEventListener("beforeunload", (event) => { if (unsaved) event.preventDefault(); });

  form.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      form.requestSubmit();
      return;
    }
    const place = placeOf(event.target);
    if (!place || event.altKey || event.ctrlKey || event.metaKey) return;
    const step = { ArrowDown: 1, ArrowUp: -1, Enter: event.shiftKey ? -1 : 1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const next = grid[place[1] + step]?.[place[0]];
    next?.focus();
    next?.select();
  });

  form.addEventListener("paste", (event) => {
    const place = placeOf(event.target);
    const text = event.clipboardData.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "");
    if (!place || !/[\t\n]/.test(text)) return;
    event.preventDefault();
    text.split("\n").forEach((line, down) => {
      line.split("\t").forEach((value, across) => {
        const cell = grid[place[1] + down]?.[place[0] + across];
        if (cell) cell.value = value.trim();
      });
    });
    unsaved = true;
  });
}
