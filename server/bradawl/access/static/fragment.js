// A one-time code or key stands after "#" in the address, where no server and no log sees it.
// Move it into the form, hide the field, and take it out of the address bar and the history.
const field = document.getElementById("token");
const given = decodeURIComponent(location.hash.slice(1));
if (field && given) {
  field.value = given;
  history.replaceState(null, "", location.pathname + location.search);
}
if (field && field.value) {
  const row = document.querySelector("[data-fragment-field]");
  if (row) row.hidden = true;
}
