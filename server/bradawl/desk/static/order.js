// Drags a job to another place, or moves it with Alt and an arrow; the buttons do the same.
for (const list of document.querySelectorAll("[data-order]")) {
  const rows = [...list.querySelectorAll("tr[data-job]")];
  const send = (move) => {
    const form = document.getElementById("moves");
    const field = document.createElement("input");
    field.type = "hidden";
    field.name = "move";
    field.value = move;
    form.append(field);
    form.submit();
  };
  let dragged = null;
  rows.forEach((row, n) => {
    row.draggable = true;
    row.addEventListener("dragstart", (event) => {
      if (event.target !== row) return;
      dragged = row;
      event.dataTransfer.effectAllowed = "move";
      event.dataTransfer.setData("text/plain", row.dataset.job);
    });
    row.addEventListener("dragover", (event) => { if (dragged) event.preventDefault(); });
    row.addEventListener("drop", (event) => {
      event.preventDefault();
      if (dragged && dragged !== row) send(`to ${n + 1} ${dragged.dataset.job}`);
      dragged = null;
    });
    row.addEventListener("dragend", () => { dragged = null; });
    row.addEventListener("keydown", (event) => {
      const way = { ArrowUp: "earlier", ArrowDown: "later" }[event.key];
      if (!event.altKey || !way) return;
      event.preventDefault();
      send(`${way} ${row.dataset.job}`);
    });
  });
  const here = rows.find((row) => `#${row.id}` === location.hash);
  // the way to a fragment takes the focus away again, up to the end of loading
  addEventListener("load", () => here?.querySelector("button")?.focus());
}
