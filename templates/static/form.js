// The form of a part draws itself anew while it is filled in, and puts what is
// wrong beside the field it is about. Without script a button does the same.
"use strict";

(() => {
  const form = document.querySelector("form[data-live]");
  const drawing = document.getElementById("drawing");
  if (!form || !drawing) return;
  let due = 0, asked = 0, shown = 0;

  form.addEventListener("input", () => {
    clearTimeout(due);
    due = setTimeout(draw, 40);
  });

  async function draw() {
    const turn = ++asked;
    const body = new URLSearchParams();
    for (const [name, value] of new FormData(form)) {
      if (typeof value === "string") body.append(name, value);
    }
    try {
      const answer = await fetch(form.dataset.live, { method: "POST", body });
      if (!answer.ok || answer.redirected) return;
      const text = await answer.text();
      if (turn < shown) return; // a later drawing is there already
      shown = turn;
      drawing.innerHTML = text;
      mark();
    } catch {
      // no network just now: the next change draws again
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
    fault.textContent = "Not drawn: see the field that is marked.";
  }

  const file = form.querySelector("input[type=file]");
  if (file) file.addEventListener("change", async () => {
    const chosen = file.files[0];
    if (!chosen) return;
    if (/\.dxf$/i.test(chosen.name)) { // its layers are asked for on the next page
      form.requestSubmit(form.querySelector("[data-draw]"));
      return;
    }
    if (chosen.size > 500000) return;
    form.elements.namedItem("text").value = await chosen.text();
    file.value = "";
    draw();
  });
})();
