// The flat blank becomes the part: frames are asked for once somebody opens them.
"use strict";

(() => {
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const between = 140, whole = 900; // ms that a frame stays

  document.addEventListener("toggle", (event) => {
    const box = event.target;
    if (!box.open || !box.dataset || !box.dataset.fold || box.dataset.asked) return;
    box.dataset.asked = "yes";
    load(box).catch(() => delete box.dataset.asked); // the finished part stays; opened again it is asked for again
  }, true);

  async function load(box) {
    const answer = await fetch(box.dataset.fold);
    if (!answer.ok) throw new Error(answer.status);
    const shown = document.createElement("div");
    shown.innerHTML = await answer.text();
    box.querySelector("[data-still]").replaceWith(shown);
    start(shown);
  }

  function start(shown) {
    const frames = [...shown.querySelectorAll("template")];
    const slider = shown.querySelector("input"), play = shown.querySelector("[data-play]");
    const [metal, swing] = shown.querySelectorAll("path");
    const says = shown.querySelector("[aria-live]");
    let at = 0, timer = 0;
    slider.max = frames.length - 1;

    const show = (n) => {
      at = Math.max(0, Math.min(n, frames.length - 1));
      metal.setAttribute("d", frames[at].dataset.metal);
      swing.setAttribute("d", frames[at].dataset.swing);
      slider.value = at;
      const words = frames[at].content.textContent;
      slider.setAttribute("aria-valuetext", words);
      if (says.textContent !== words) says.textContent = words;
    };
    // toWhole goes to the next frame, or the one before, at which a step is made.
    const toWhole = (by) => {
      let n = at + by;
      while (n > 0 && n < frames.length - 1 && !("whole" in frames[n].dataset)) n += by;
      show(n);
    };
    const stop = () => { clearTimeout(timer); timer = 0; play.setAttribute("aria-pressed", "false"); };
    const go = () => {
      still.matches ? toWhole(1) : show(at + 1);
      if (at === frames.length - 1) return stop();
      timer = setTimeout(go, "whole" in frames[at].dataset ? whole : between);
    };

    slider.addEventListener("input", () => { stop(); show(Number(slider.value)); });
    for (const key of shown.querySelectorAll("[data-by]")) key.addEventListener("click", () => { stop(); toWhole(Number(key.dataset.by)); });
    play.addEventListener("click", () => {
      if (timer) return stop();
      if (at === frames.length - 1) show(0);
      play.setAttribute("aria-pressed", "true");
      timer = setTimeout(go, between);
    });
    show(0);
  }
})();
