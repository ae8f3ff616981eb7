// The page at the brake works as a plain form. This adds what a form cannot
// do: the step keys of the pad, and readings that wait on the phone while the
// network is away.
//
// A reading is put into the queue first and only then sent, so that nothing is
// lost between the two. Readings go one at a time, in their order, each under
// an id made on the phone; the service stores an id once, so sending twice does
// no harm. The queue holds nothing that the service would not take: what it asks
// about waits there, in the list of questions, and what it refuses stands on the
// page, to be corrected or deleted. Neither holds up the next.
"use strict";

(() => {
  const KEY = "brakeside-unsent", REFUSED = "brakeside-refused";
  const FIRST_PAUSE = 1000, LONGEST_PAUSE = 60000, PATIENCE = 10000; // ms

  const main = document.querySelector("main.brake");
  if (!main) return;
  const sheet = main.dataset.sheet;

  // The queue ------------------------------------------------------------

  function list(key) {
    try {
      const kept = JSON.parse(localStorage.getItem(key));
      return Array.isArray(kept) ? kept : [];
    } catch {
      return [];
    }
  }

  function queue() { return list(KEY); }

  function keep(key, entries) {
    localStorage.setItem(key, JSON.stringify(entries));
    showUnsent();
  }

  function add(entry) { keep(KEY, [...queue(), entry]); }

  function remove(id, key = KEY) { keep(key, list(key).filter((entry) => entry.reading.id !== id)); }

  const { phrase, newId } = phone;

  let why = ""; // what the service said when it took nothing

  function showUnsent() {
    const entries = queue();
    for (const note of document.querySelectorAll("[data-unsent]")) {
      note.hidden = entries.length === 0;
      note.querySelector("[data-count]").textContent =
        entries.length === 1 ? phrase("one-reading") : phrase("readings").replace("#", entries.length);
      note.querySelector("[data-trouble]").textContent = why;
    }
    for (const place of document.querySelectorAll("[data-refused]")) {
      place.replaceChildren(...list(REFUSED).map(refusedNote));
    }
  }

  // named fills in which reading a phrase is about.
  function named(name, { piece, step, measured }) {
    return [piece, step, measured].reduce((words, value) => words.replace("#", value), phrase(name));
  }

  // refusedNote shows a reading that the service does not take, and why. Deleting it
  // says what goes and asks each time.
  function refusedNote(entry) {
    const note = copy("refused");
    note.querySelector("[data-what]").textContent = named("not-taken", entry.reading);
    note.querySelector("[data-words]").textContent = entry.words;
    const { piece, step, id } = entry.reading;
    note.querySelector("[data-correct]").addEventListener("click", () => {
      location.assign(entry.sheet + "/" + step + "?piece=" + piece + "&bent=yes&refused=" + encodeURIComponent(id));
    });
    const key = note.querySelector("[data-drop]");
    key.addEventListener("click", () => {
      if (key.dataset.asked) {
        remove(id, REFUSED);
        return;
      }
      key.dataset.asked = "yes";
      key.textContent = named("delete-sure", entry.reading);
    });
    return note;
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
      for (let entry = queue()[0]; entry; entry = queue()[0]) {
        const { status, words, asks } = await post(entry);
        if (status === 200 || status === 201) {
          remove(entry.reading.id);
          pause = FIRST_PAUSE;
          why = "";
          stored(entry);
        } else if (status === 429 || status >= 500) {
          throw new Busy(words);
        } else if (asks) {
          remove(entry.reading.id);
          asked(entry);
        } else {
          refuse(entry, words);
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

  async function post(entry) {
    const stop = new AbortController();
    const limit = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(entry.sheet + "/readings", {
        method: "POST", signal: stop.signal, body: JSON.stringify(entry.reading),
        headers: { "Content-Type": "application/json", "Accept": "application/json" },
      });
      return { status: answer.status, ...(answer.ok ? {} : await refusal(answer)) };
    } finally {
      clearTimeout(limit);
    }
  }

  async function refusal(answer) {
    try {
      const { error, confirm } = await answer.json();
      return { words: error.message, asks: Boolean(confirm) };
    } catch {
      return { words: phrase("cannot-take"), asks: false };
    }
  }

  function stored(entry) {
    if (entry.reading.id === shown) {
      location.assign(entry.sheet + "?saved=" + encodeURIComponent(entry.reading.id));
    } else if (shown === "" && entry.sheet === sheet && !touched && document.querySelector("[data-log]")) {
      location.reload();
    }
  }

  // asked goes to the question about the reading on this page, or says that one
  // waits.
  function asked(entry) {
    if (entry.reading.id === shown) {
      location.assign(entry.sheet + "/questions#q-" + entry.reading.id);
      return;
    }
    for (const note of document.querySelectorAll("[data-questions]")) note.hidden = false;
  }

  // refuse shows what is wrong beside what was typed, as long as that is on the
  // page; else it keeps the reading among those to be corrected or deleted.
  function refuse(entry, words) {
    const form = document.querySelector("[data-log]");
    const here = entry.reading.id === shown && form && !form.hidden;
    if (!here) keep(REFUSED, [...list(REFUSED), { ...entry, words }]);
    remove(entry.reading.id);
    if (entry.reading.id === shown) shown = "";
    if (here) say(form, words);
  }

  function say(form, words) {
    form.querySelector("button.main").disabled = false;
    for (const old of main.querySelectorAll("[data-kept-note]")) old.remove();
    const note = copy("wrong");
    note.querySelector("[data-words]").textContent = words;
    form.querySelector("h2").after(note);
    form.elements.typed.setAttribute("aria-invalid", "true");
    form.elements.typed.focus();
  }

  // The form -------------------------------------------------------------

  let shown = ""; // id of the reading saved on this page
  let touched = false;
  let correcting = new URLSearchParams(location.search).get("refused"); // id of a refused reading that is typed anew here

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
    if (correcting) remove(correcting, REFUSED);
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
    correcting = null;
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
