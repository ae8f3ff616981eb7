// What the page at the brake shows of a step, put together from the bundle: the
// stop, the pad, and what is to be done to piece and brake.
"use strict";

const page = (() => {
  const opposite = { bend: "opening", opening: "bend" };

  // setStop shows the one stop to set, and the printed one beside it where that is
  // another; it is what is stored unless another is said.
  function setStop(main, stop, printed, why) {
    const form = main.querySelector("[data-log]"), other = stop !== printed;
    const figure = main.querySelector("[data-stop]");
    figure.textContent = stop;
    figure.tabIndex = -1;
    const line = main.querySelector("[data-instead]");
    line.hidden = !other;
    line.querySelector("[data-printed]").textContent = printed;
    line.querySelector("[data-why]").textContent = why;
    const [told, asPrinted] = form.querySelectorAll("input[name=stop_as]");
    told.value = form.elements.told.value = form.elements.stop.value = stop;
    told.checked = true;
    main.querySelector("[data-told]").textContent = stop;
    asPrinted.value = printed;
    asPrinted.checked = false;
    const label = main.querySelector("[data-as-printed]");
    label.hidden = !other;
    label.querySelector("[data-printed]").textContent = printed;
  }

  // asTold takes the stop that was told for the one that was set, until another is said.
  function asTold(form) {
    form.elements.stop.value = form.elements.told.value;
    for (const key of form.querySelectorAll("input[name=stop_as]")) key.checked = key.value === form.elements.told.value;
  }

  function setConvention(form, convention) {
    for (const choice of form.querySelectorAll("input[name=given_as]")) choice.checked = choice.value === convention;
  }

  const keysOf = (form) => [...form.querySelectorAll("input[name=pad]")];

  function setKeys(keys, values) {
    keys.forEach((key, i) => {
      key.value = values[i];
      key.checked = false;
      key.nextElementSibling.textContent = values[i];
    });
  }

  // turnPad shows the pad in a convention: opening = 180 - bend.
  function turnPad(form, convention) {
    const keys = keysOf(form), legend = form.querySelector(".pad legend");
    const shown = legend.querySelector("[data-reads]:not([hidden])").dataset.reads;
    form.elements.pad_as.value = convention;
    if (shown === convention) return;
    setKeys(keys, keys.map((key) => (180 - Number(key.value)).toFixed(1)).reverse());
    legend.querySelector("[data-reads=" + convention + "]").hidden = false;
    legend.querySelector("[data-reads=" + opposite[convention] + "]").hidden = true;
  }

  // shiftPad moves the pad by all its keys: angles far off the target are no typing
  // matter for a glove.
  function shiftPad(form, way) {
    const keys = keysOf(form), by = (way * keys.length) / 10, pad = form.querySelector(".pad");
    setKeys(keys, keys.map((key) => (Number(key.value) + by).toFixed(1)));
    pad.dataset.shift = Number(pad.dataset.shift || 0) + way;
    pad.classList.toggle("off", pad.dataset.shift !== "0"); // the target is on no key
  }

  // settingsOf gives how the brake is set for a step and how the piece lies, each as
  // a line of the page has it.
  function settingsOf(step) {
    const book = phone.piece("step", step);
    return [...(book ? book.content.querySelectorAll("[data-setting]") : [])].map((line) => ({
      name: line.dataset.setting, label: line.querySelector("dt").textContent, words: line.querySelector("dd").textContent,
    }));
  }

  const turnsOf = (step) => [...phone.piece("step", step).content.querySelectorAll("[data-turn] dd")].map((line) => line.textContent);

  // doings lists what there is to do before a bend, for who made the bend before it. A
  // piece that stays in the hand is turned; one off the pile is told how it lies.
  function doings(made, spot) {
    if (made.piece === spot.piece && made.step === spot.step) return [];
    const same = made.step > 0 && made.piece === spot.piece && made.step === spot.step - 1;
    const old = new Map(settingsOf(made.step).map((one) => [one.name, one.words]));
    const changed = settingsOf(spot.step).filter(({ name, words }) => (name === "lay" ? !same : old.get(name) !== words));
    return [...(same ? turnsOf(spot.step) : []).map((words) => ({ label: "", words })), ...changed];
  }

  // line shows one doing as the page of the service does.
  function line({ label, words }) {
    const item = document.createElement("li");
    if (label) {
      const name = document.createElement("b");
      name.textContent = label;
      item.append(name, " ");
    }
    item.append(words);
    return item;
  }

  // sampling says which pieces are measured, and what is bent without being measured
  // before this one; nothing when every piece is measured.
  function sampling(table, sample, piece) {
    if (table.every < 2) return "";
    const words = phone.phrase("sampled", table.every), at = sample.indexOf(piece);
    if (at < 0) return words + " " + phone.phrase("not-measured", piece);
    if (at === 0) return words;
    const from = sample[at - 1] + 1, to = piece - 1;
    if (from > to) return words;
    return words + " " + (from === to ? phone.phrase("bend-too", from) : phone.phrase("bend-all-too", from, to));
  }

  return { setStop, asTold, setConvention, turnPad, shiftPad, doings, line, sampling };
})();
