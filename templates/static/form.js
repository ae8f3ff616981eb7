// The form of a part draws itself anew while it is filled in, and puts what is
// wrong beside the field it is about. Without script a button does the same.
"use strict";

// What a drawing shows of the field that is typed into is lit.
document.addEventListener("focusin", (event) => {
  for (const part of document.querySelectorAll("[data-of]")) part.classList.toggle("lit", part.dataset.of === event.target.name);
});

(() => {
  const form = document.querySelector("form[data-live]");
  const drawing = document.getElementById("drawing");
  if (!form || !drawing) return;
  const patience = 5000; // milliseconds, for a network that does not answer
  let busy = false, again = false;

  // A sheet is said by its thickness or by its gauge: typing the one empties the other.
  form.addEventListener("input", ({ target }) => {
    const other = { thickness: "gauge", gauge: "thickness" }[target.name], field = other && form.elements.namedItem(other);
    if (field && target.value) field.value = "";
  });
  form.addEventListener("input", follow);
  // Enter presses this button, and the page stays. A file is read by the service, which
  // then asks for its layers on the next page.
  form.querySelector("[data-draw]").addEventListener("click", (event) => {
    if (form.elements.namedItem("text")) return;
    event.preventDefault();
    follow();
  });

  // follow draws at once. What is changed while a drawing is on its way is drawn
  // when that has come: never two at a time, and the last change always.
  async function follow() {
    again = true;
    if (busy) return;
    busy = true;
    while (again) {
      again = false;
      await draw();
    }
    busy = false;
  }

  async function draw() {
    const body = new URLSearchParams();
    for (const [name, value] of new FormData(form)) {
      if (typeof value === "string") body.append(name, value);
    }
    const stop = new AbortController(), limit = setTimeout(() => stop.abort(), patience);
    try {
      const answer = await fetch(form.dataset.live, { method: "POST", body, signal: stop.signal });
      if (!answer.ok || answer.redirected) return;
      drawing.innerHTML = await answer.text();
      mark();
    } catch {
      // no network just now: the next change draws again
    } finally {
      clearTimeout(limit);
    }
  }

  // mark moves the fault out of the drawing to its field.
  function mark() {
    for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
    for (const note of form.querySelectorAll(".field .under")) note.textContent = note.dataset.hint;
    for (const box of form.querySelectorAll(".field.wrong")) box.classList.remove("wrong");
    const fault = drawing.querySelector("[data-fault]");
    const field = fault && fault.dataset.fault && form.elements.namedItem(fault.dataset.fault);
    if (!field || !field.id) return;
    field.setAttribute("aria-invalid", "true");
    const note = document.getElementById(field.id + "-note");
    if (!note) return;
    const words = document.createElement("b");
    words.textContent = fault.textContent;
    note.replaceChildren(words);
    note.parentElement.classList.add("wrong");
    const folded = field.closest("details");
    if (folded) folded.open = true;
    fault.textContent = fault.dataset.elsewhere;
  }

  const file = form.querySelector("input[type=file]");
  if (file) file.addEventListener("change", async () => {
    const chosen = file.files[0];
    if (!chosen) return;
    if (/\.dxf$/i.test(chosen.name)) { // its layers are asked for on the next page
      form.querySelector("[data-draw]").click();
      return;
    }
    if (chosen.size > 500000) return;
    form.elements.namedItem("text").value = await new Response(chosen).text();
    file.value = "";
    follow();
  });
})();
