// What is asked of the office, or decided at the brake, goes to the service at once or
// not at all: without a network the page stays and says so. Without script the form
// posts itself.
"use strict";

document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form.ask");
  if (!form) return;
  event.preventDefault();
  const key = form.querySelector("button");
  for (const note of form.querySelectorAll("[data-not-sent]")) note.remove();
  key.disabled = true;
  try {
    const reply = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)), headers: { "Accept": "text/html" } });
    if (reply.ok) location.assign(reply.url);
    else HTMLFormElement.prototype.submit.call(form); // the page of the service says why not
  } catch {
    const note = phone.copy("not-sent");
    note.firstElementChild.dataset.notSent = "yes";
    form.append(note);
    form.lastElementChild.scrollIntoView({ block: "nearest" });
  } finally {
    key.disabled = false;
  }
});
