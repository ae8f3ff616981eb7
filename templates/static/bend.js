// The page at the brake works as a plain form. This adds what a form cannot
// do: the step keys of the pad, and readings that wait on the phone while the
// network is away.
//
// A reading is put into the queue first and only then sent, so that nothing is
// lost between the two. Readings go one at a time, in their order, each under
// an id made on the phone; the service stores an id once, so sending twice does
// no harm. What the service answers with a question or a refusal is handed to
// the plain form, whose pages have the words for it.
"use strict";

(() => {
  const KEY = "brakeside-unsent";
  const FIRST_PAUSE = 1000, LONGEST_PAUSE = 60000, PATIENCE = 10000; // ms

  const main = document.querySelector("main.brake");
  if (!main) return;
  const sheet = main.dataset.sheet;

  // The queue ------------------------------------------------------------

  function queue() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEY));
      return Array.isArray(kept) ? kept : [];
    } catch {
      return [];
    }
  }

  function keep(entries) {
    localStorage.setItem(KEY, JSON.stringify(entries));
    showUnsent();
  }

  function add(entry) { keep([...queue(), entry]); }

  function remove(id) { keep(queue().filter((entry) => entry.reading.id !== id)); }

  const { phrase, newId } = phone;

  let why = ""; // what the service said when it took nothing

  function showUnsent() {
    const entries = queue();
    for (const note of document.querySelectorAll("[data-unsent]")) {
      note.hidden = entries.length === 0;
      note.querySelector("[data-count]").textContent =
        entries.length === 1 ? phrase("one-reading") : phrase("readings").replace("#", entries.length);
      const stuck = entries.find((entry) => entry.refused);
      note.querySelector("[data-trouble]").textContent = stuck
        ? phrase("needs-answer").replace("#", stuck.reading.piece).replace("#", stuck.reading.step) : why;
      note.querySelector("[data-look]").hidden = !stuck;
      note.querySelector("[data-drop]").hidden = !stuck;
    }
  }

  // Sending --------------------------------------------------------------

  class Busy extends Error {}

  let sending = false, pause = FIRST_PAUSE, timer = 0;

  // send empties the queue from the front. It answers with the ids that are
  // stored now. Only one send runs at a time.
  async function send() {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    try {
      for (let entry = waiting(); entry; entry = waiting()) {
        const { status, words } = await post(entry);
        if (status === 200 || status === 201) {
          remove(entry.reading.id);
          pause = FIRST_PAUSE;
          why = "";
          stored(entry);
        } else if (status === 429 || status >= 500) {
          throw new Busy(words);
        } else {
          refuse(entry);
        }
      }
    } catch (trouble) {
      timer = setTimeout(send, pause);
      pause = Math.min(2 * pause, LONGEST_PAUSE);
      // The service has been reached and says why it takes nothing, such as a
      // full disk; all else is the network.
      why = trouble instanceof Busy ? trouble.message : "";
      showUnsent();
      offline();
    } finally {
      sending = false;
    }
  }

  // waiting is the first entry that may be sent. One that was refused blocks
  // those behind it on the same sheet: they may depend on it.
  function waiting() {
    const blocked = new Set();
    for (const entry of queue()) {
      if (entry.refused) blocked.add(entry.sheet);
      else if (!blocked.has(entry.sheet)) return entry;
    }
    return undefined;
  }

  async function post(entry) {
    const stop = new AbortController();
    const limit = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(entry.sheet + "/readings", {
        method: "POST", signal: stop.signal, body: JSON.stringify(entry.reading),
        headers: { "Content-Type": "application/json", "Accept": "application/json" },
      });
      return { status: answer.status, words: answer.status < 429 ? "" : await refusal(answer) };
    } finally {
      clearTimeout(limit);
    }
  }

  async function refusal(answer) {
    try {
      return (await answer.json()).error.message;
    } catch {
      return phrase("cannot-take");
    }
  }

  function stored(entry) {
    if (entry.reading.id === shown) {
      location.assign(entry.sheet + "?saved=" + encodeURIComponent(entry.reading.id));
    } else if (shown === "" && entry.sheet === sheet && !touched && document.querySelector("[data-log]")) {
      location.reload();
    }
  }

  function refuse(entry) {
    keep(queue().map((e) => (e.reading.id === entry.reading.id ? { ...e, refused: true } : e)));
    if (entry.reading.id === shown) ask(entry);
  }

  // ask hands a reading to the plain form: the page that comes back says what
  // is asked or wrong. The entry stays in the queue until a page says that its
  // id is stored.
  function ask(entry) {
    const form = document.createElement("form");
    form.method = "post";
    form.action = entry.sheet + "/readings";
    for (const [name, value] of Object.entries(entry.reading)) {
      for (const one of Array.isArray(value) ? value : [value]) {
        const field = document.createElement("input");
        field.type = "hidden";
        field.name = name;
        field.value = one === null ? "" : String(one);
        form.append(field);
      }
    }
    document.body.append(form);
    form.submit();
  }

  // drop deletes a refused reading that nobody can save any more, such as one
  // for a sheet that was replaced. It takes two taps.
  function drop(event) {
    const key = event.currentTarget;
    if (!key.dataset.asked) {
      key.dataset.asked = "yes";
      key.textContent = key.dataset.sure;
      return;
    }
    const stuck = queue().find((entry) => entry.refused);
    if (stuck) remove(stuck.reading.id);
    send();
  }

  // The form -------------------------------------------------------------

  let shown = ""; // id of the reading saved on this page
  let touched = false;

  // reading turns the fields into the JSON the service takes. Numbers stay as
  // they were typed when they are none, so that the service can say so.
  function readingOf(form) {
    const fields = new FormData(form);
    const reading = { id: newId(), piece: Number(fields.get("piece")), step: Number(fields.get("step")) };
    const typed = fields.get("typed").trim();
    reading.measured = number(typed || fields.get("pad") || "");
    reading.given_as = typed ? fields.get("given_as") : fields.get("pad_as");
    for (const name of ["place", "by", "state", "note", "pack", "tool", "corrects"]) {
      if (fields.get(name)) reading[name] = fields.get(name);
    }
    for (const name of ["stop", "leg", "thickness"]) {
      if (fields.get(name)) reading[name] = number(fields.get(name));
    }
    if (fields.getAll("flags").length > 0) reading.flags = fields.getAll("flags");
    const ends = fields.getAll("nose_setback").map((end) => (end.trim() ? number(end) : null));
    if (ends.some((end) => end !== null)) reading.nose_setback = ends;
    reading.at = new Date().toISOString();
    return reading;
  }

  function number(text) {
    const value = Number(text.trim().replace(",", "."));
    return text.trim() !== "" && Number.isFinite(value) ? value : text;
  }

  function save(event) {
    const form = event.currentTarget;
    if (shown !== "") {
      event.preventDefault(); // the second tap of a double tap
      return;
    }
    const reading = readingOf(form);
    // The plain form says what is missing.
    if (typeof reading.measured !== "number" || (reading.state === "scrapped" && !reading.note)) return;
    event.preventDefault();
    try {
      add({ sheet, reading });
    } catch {
      HTMLFormElement.prototype.submit.call(form); // no room or no storage on this phone
      return;
    }
    shown = reading.id;
    form.querySelector("button.main").disabled = true;
    send();
  }

  function nudge(event) {
    const form = event.currentTarget.form;
    const field = form.elements.typed;
    const from = number(field.value || new FormData(form).get("pad") || middle(form));
    if (typeof from !== "number") return;
    field.value = (Math.round((from + Number(event.currentTarget.dataset.nudge)) * 10) / 10).toFixed(1);
    touched = true;
  }

  function middle(form) {
    const pad = form.querySelectorAll("input[name=pad]");
    return pad[Math.floor(pad.length / 2)].value;
  }

  // A tap on the pad replaces what was typed; typing lifts the choice from the
  // pad. One angle is given, whichever came last.
  function pick(event) {
    touched = true;
    const form = event.currentTarget;
    if (event.target.name === "pad") {
      form.elements.typed.value = "";
      setConvention(form, form.elements.pad_as.value);
    } else if (event.target.name === "typed") {
      for (const key of form.querySelectorAll("input[name=pad]")) key.checked = false;
    } else if (event.target.name === "stop_as") {
      form.elements.stop.value = event.target.value;
    } else if (event.target.name === "stop") {
      for (const key of form.querySelectorAll("input[name=stop_as]")) key.checked = key.value === event.target.value;
    } else if (event.target.name === "given_as") {
      turnPad(form, event.target.value);
    }
  }

  function setConvention(form, convention) {
    for (const choice of form.querySelectorAll("input[name=given_as]")) choice.checked = choice.value === convention;
  }

  // turnPad shows the pad in the other convention: opening = 180 - bend.
  function turnPad(form, convention) {
    if (form.elements.pad_as.value === convention) return;
    form.elements.pad_as.value = convention;
    const keys = [...form.querySelectorAll("input[name=pad]")];
    const values = keys.map((key) => (180 - Number(key.value)).toFixed(1)).reverse();
    keys.forEach((key, i) => {
      key.value = values[i];
      key.checked = false;
      key.nextElementSibling.textContent = values[i];
    });
    const legend = form.querySelector(".pad legend");
    legend.textContent = legend.dataset[convention];
  }

  // Without network ------------------------------------------------------

  const pages = new Map(); // step -> the text of its page, for the bends to come

  function ahead() {
    return (main.dataset.ahead || "").split(" ").filter(Boolean).map((spot) => {
      const [piece, step] = spot.split(".").map(Number);
      return { piece, step };
    });
  }

  async function fetchAhead() {
    for (const { step } of ahead()) {
      if (pages.has(step)) continue;
      try {
        const answer = await fetch(sheet + "/" + step, { headers: { "Accept": "text/html", "X-Ahead": "yes" } });
        const text = answer.ok ? await answer.text() : "";
        if (text.includes("data-log")) pages.set(step, text); // work may have been stopped
      } catch {
        return; // the network has gone already: what is here must do
      }
    }
  }

  // offline says how the reading came out as far as the phone can tell, and
  // offers the next bend if its page is at hand.
  function offline() {
    const entry = queue().find((e) => e.reading.id === shown);
    const form = document.querySelector("[data-log]");
    if (!entry || !form || form.hidden) return;
    const measured = entry.reading.measured;
    const bend = entry.reading.given_as === "opening" ? 180 - measured : measured;
    const off = Math.round((bend - Number(form.dataset.target)) * 100) / 100;
    const side = Math.abs(off) <= Number(form.dataset.tolerance) ? "right" : off > 0 ? "over" : "under";
    const verdict = copy(side);
    verdict.querySelector("[data-measured]").textContent = bend.toFixed(1) + "°";
    const by = verdict.querySelector("[data-off]");
    if (by) by.textContent = Math.abs(off).toFixed(1) + "°";
    const rest = copy("waiting");
    if (why) rest.querySelector("[data-why]").textContent = phrase("service-answers") + " " + why;
    const [next, ...later] = ahead();
    const go = rest.querySelector("[data-go]");
    if (next && pages.has(next.step)) {
      rest.querySelector("[data-piece]").textContent = next.piece;
      rest.querySelector("[data-step]").textContent = next.step;
      go.addEventListener("click", () => turnTo(next, later));
    } else {
      go.remove();
    }
    form.hidden = true;
    form.before(verdict, rest);
    form.previousElementSibling.scrollIntoView({ block: "end" });
  }

  function copy(name) {
    return document.querySelector('template[data-kept="' + name + '"]').content.cloneNode(true);
  }

  // turnTo shows the page of a bend that was fetched before the network went.
  function turnTo(spot, later) {
    const fresh = new DOMParser().parseFromString(pages.get(spot.step), "text/html");
    const content = fresh.querySelector("main.brake");
    const form = content.querySelector("[data-log]");
    form.elements.piece.value = spot.piece;
    content.querySelector("[data-piece-number]").textContent = spot.piece;
    for (const old of content.querySelectorAll("[data-earlier]")) old.remove();
    main.replaceChildren(...content.childNodes);
    main.dataset.ahead = later.map((s) => s.piece + "." + s.step).join(" ");
    shown = "";
    touched = true; // the service does not know this page yet: no reload
    ready();
    scrollTo(0, 0);
  }

  // Beginning ------------------------------------------------------------

  function ready() {
    const form = document.querySelector("[data-log]");
    if (form) {
      form.addEventListener("submit", save);
      form.addEventListener("input", pick);
      for (const key of form.querySelectorAll("[data-nudge]")) {
        key.hidden = false;
        key.addEventListener("click", nudge);
        key.addEventListener("click", () => {
          for (const choice of form.querySelectorAll("input[name=pad]")) choice.checked = false;
        });
      }
    }
    for (const key of document.querySelectorAll("[data-send]")) key.addEventListener("click", send);
    for (const key of document.querySelectorAll("[data-look]")) {
      key.addEventListener("click", () => ask(queue().find((entry) => entry.refused)));
    }
    for (const key of document.querySelectorAll("[data-drop]")) key.addEventListener("click", drop);
    showUnsent();
  }

  if (main.dataset.saved) remove(main.dataset.saved);
  ready();
  addEventListener("online", send);
  addEventListener("beforeunload", (event) => {
    if (queue().length > 0 && !navigator.onLine) event.preventDefault();
  });
  send().then(fetchAhead);
})();
