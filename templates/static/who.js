// Whose initials the readings of a phone carry: after a pause it may have changed
// hands, and the page asks.
"use strict";

(() => {
  const main = document.querySelector("main.brake[data-table]"), form = document.querySelector("[data-log]");
  if (!main || !form) return;
  const who = main.querySelector("[data-who]"), still = who.querySelector("[data-still]");
  let savedAt = Date.now();

  form.addEventListener("submit", () => { savedAt = Date.now(); });
  form.elements.by.addEventListener("input", () => { who.hidden = true; });
  if (still) {
    still.hidden = false;
    still.addEventListener("click", () => {
      form.elements.by.value = still.dataset.still;
      who.hidden = true;
    });
  }

  document.addEventListener("visibilitychange", () => {
    const pause = Number(main.dataset.pause) * 60000;
    if (document.hidden || pause === 0 || Date.now() - savedAt < pause || !form.elements.by.value) return;
    if (still) still.dataset.still = form.elements.by.value;
    form.elements.by.value = "";
    who.hidden = false;
  });
})();
