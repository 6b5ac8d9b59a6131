// Something is being done on the server: look again soon, without losing the place.
const note = document.querySelector("[data-reload]");
if (note) setTimeout(() => location.reload(), Number(note.dataset.reload));
