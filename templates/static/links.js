// A link at the brake is followed where the service answers. Where it does not, the
// page stays: the one that the browser would show instead takes no readings and leads
// nowhere. The page of a bend turns to other bends by itself.
"use strict";

document.addEventListener("click", async (event) => {
  const link = event.target.closest("main.brake a[href]");
  if (!link || event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (link.getAttribute("href").startsWith("#")) return;
  event.preventDefault();
  for (const note of document.querySelectorAll("[data-away]")) note.remove();
  if (await phone.reaches(link.href)) {
    location.assign(link.href);
    return;
  }
  if (!document.dispatchEvent(new CustomEvent("brakeside-away", { detail: link, cancelable: true }))) return;
  const note = phone.copy("away");
  note.querySelector("[data-away]").textContent = phone.away();
  link.before(note);
});
