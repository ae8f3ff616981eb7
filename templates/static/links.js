// A link at the brake is followed, and a form sent, where the service answers. Where it
// does not, the page stays and says so: the one that the browser would show instead
// takes no readings and leads nowhere. The page of a bend turns to other bends by itself.
"use strict";

(() => {
  let pressed = null; // the button touched last: not every browser says which one sends a form

  function stay(beside, more = "") {
    const note = phone.copy("away");
    note.querySelector("[data-away]").textContent = phone.away() + " " + more;
    beside.before(note);
  }

  async function asked(address) {
    for (const note of document.querySelectorAll("[data-away]")) note.remove();
    return phone.reaches(address);
  }

  async function follow(link) {
    if (await asked(link.href)) location.assign(link.href);
    else if (document.dispatchEvent(new CustomEvent("brakeside-away", { detail: link, cancelable: true }))) stay(link);
  }

  async function send(form, button) {
    if (form.dataset.going) return;
    form.dataset.going = "yes";
    if (await asked(location.href)) {
      const chosen = document.createElement("input");
      [chosen.type, chosen.name, chosen.value] = ["hidden", button.name, button.value];
      if (button.name) form.append(chosen);
      HTMLFormElement.prototype.submit.call(form);
      return;
    }
    delete form.dataset.going;
    stay(button, phone.phrase("not-sent"));
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("main.brake a[href]");
    pressed = event.target.closest("button");
    if (!link || event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (link.getAttribute("href").startsWith("#")) return;
    event.preventDefault();
    follow(link);
  });

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.closest("main.brake")) return;
    event.preventDefault();
    send(form, pressed && pressed.form === form ? pressed : form.querySelector("button"));
  });
})();
