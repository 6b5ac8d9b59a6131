// Narrows the findings while one types and picks; the server does the same without a script.
(() => {
  const form = document.querySelector("form[data-filter]");
  if (!form || location.search) return; // what the server narrowed is not all there is
  const cards = [...document.querySelectorAll("article.finding[data-words]")];
  const sections = [...document.querySelectorAll("section.area")];
  const status = form.querySelector("[data-shown]");
  const total = cards.length;

  function narrow() {
    const { area, grade, standing, words } = Object.fromEntries(new FormData(form));
    const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
    const isAny = Boolean(area || grade || standing || wanted.length);
    let shown = 0;
    for (const card of cards) {
      const { area: its, grade: graded, standing: stands, words: said } = card.dataset;
      card.hidden = !(
        (!area || its === area) &&
        (!grade || graded === grade) &&
        (!standing || stands.split(" ").includes(standing)) &&
        wanted.every((word) => said.includes(word))
      );
      if (!card.hidden) shown += 1;
    }
    for (const section of sections) section.hidden = isAny && !section.querySelector("article.finding:not([hidden])");
    status.textContent = status.dataset.shown.replace("%1", shown).replace("%2", total);
  }

  form.addEventListener("input", narrow);
  // what was fine and rests on a word alone is no card: the server lists it
  form.addEventListener("submit", (event) => { if (new FormData(form).get("standing") !== "claimed") event.preventDefault(); });
})();
