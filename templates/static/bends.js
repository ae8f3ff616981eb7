// The slider turns the leaf in the picture of a step.
"use strict";

(() => {
  const slider = document.getElementById("angle");
  const frame = document.getElementById("frame");
  const now = document.getElementById("angle-now");
  if (!slider || !frame) return;
  slider.form.querySelector("button").hidden = true;
  let wanted = "", loading = false;

  slider.addEventListener("input", () => {
    wanted = slider.value;
    now.textContent = Number(wanted).toFixed(1);
    show();
  });

  // show asks for one picture at a time, and then for the last one wanted.
  function show() {
    if (loading || wanted === "") return;
    const angle = wanted, next = new Image();
    wanted = "";
    loading = true;
    next.onload = next.onerror = () => {
      loading = false;
      if (next.naturalWidth > 0) {
        frame.src = next.src;
        frame.alt = frame.alt.replace(/[0-9.]+(?=[^0-9]*$)/, angle); // the last number in it
      }
      show();
    };
    next.src = frame.dataset.source + angle;
  }
})();
