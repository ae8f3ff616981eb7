// The page at the brake works as a plain form. This makes a tap on the pad save at
// once, and shows what it means and what comes next in place: from the bundle of
// the traveler and the rules, which the phone has, so that it needs no network. The
// service has the last word: where it says otherwise, that is shown.
"use strict";

(() => {
  const DEAF = 700, UNDO = 5000; // ms: the second tap of a double tap; how long Undo is offered
  const main = document.querySelector("main.brake[data-table]"), form = document.querySelector("[data-log]");
  if (!main || !form) return;
  const sheet = main.dataset.sheet, last = main.querySelector("[data-last]"), where = new URLSearchParams(location.search);

  let table = JSON.parse(main.dataset.table); // as the service told it
  let here = []; // what was saved on this page since
  let made = spotOf(main.dataset.made); // the bend that was saved last
  let shown = { piece: Number(form.elements.piece.value), step: Number(form.elements.step.value) };
  let refused = where.get("refused"); // the refused reading that is typed anew here
  let bundle = false, saving = false, deafUntil = 0, doubt = null;
  let awaited = ""; // id of a reading whose page the service is to show, once it has it

  function spotOf(text) {
    const [piece, step] = text.split(".").map(Number);
    return { piece, step };
  }

  const halted = () => Boolean(table.halt || at("[data-halted]"));
  const job = () => here.reduce((so, entry) => rules.add(so, entry.known), rules.begin(table));
  const at = (selector) => main.querySelector(selector);

  // The bundle -------------------------------------------------------------

  async function fetchBundle() {
    const version = main.dataset.bundle;
    let kept = await keep.get("bundles", sheet).catch(() => null);
    if (!kept || kept.version !== version) {
      const reply = await fetch(sheet + "/bundle", { headers: { "Accept": "text/html" } });
      if (!reply.ok) return;
      kept = { sheet, version, text: await reply.text() };
      keep.put("bundles", kept).catch(() => {}); // no room: this page has it all the same
    }
    phone.books.push(new DOMParser().parseFromString(kept.text, "text/html"));
    bundle = true;
    main.dataset.ready = "yes";
  }

  // Saving -----------------------------------------------------------------

  function submit(event) {
    event.preventDefault();
    const empty = !form.elements.typed.value && !form.querySelector("input[name=pad]:checked");
    if (!saving && !(empty && performance.now() < deafUntil)) save(read.form(form, shown));
  }

  async function save(reading) {
    if (typeof reading.measured !== "number") return wrong(phone.phrase("no-angle"));
    if (reading.state === "scrapped" && !reading.note) return wrong(phone.phrase("why-scrap"), "note");
    const entry = { reading, known: read.known(table, reading) };
    if (bundle && !rules.possible(table, entry.known)) return impossible(entry);
    saving = true;
    try {
      await queue.ready;
      await queue.add({ sheet, reading });
    } catch (trouble) {
      HTMLFormElement.prototype.submit.call(form); // no room or no storage on this phone
      return;
    } finally {
      saving = false;
    }
    unwrong();
    if (refused) await forget();
    deafUntil = performance.now() + DEAF;
    if (bundle && !reading.corrects) judge(entry);
    else awaited = reading.id;
    form.hidden = form.hidden || awaited !== "";
    queue.send();
  }

  function judge(entry) {
    const verdict = rules.judge(job(), entry.known);
    if (verdict.ask) ask(entry, verdict);
    else keepAndShow(entry, verdict);
  }

  async function forget() {
    const entry = queue.refused().find((one) => String(one.seq) === refused);
    refused = null;
    if (entry) await queue.drop(entry);
  }

  function keepAndShow(entry, verdict) {
    doubt = null;
    here.push(entry);
    made = { piece: entry.reading.piece, step: entry.reading.step };
    tell(entry, verdict);
    if (halted()) empty({ do: "bend" }); // the stop of work stays where it is
    else if (verdict.again) rework(verdict);
    else goOn();
  }

  function goOn() {
    const due = rules.nextDue(job());
    if (due) turnTo(due);
    else finish();
  }

  // rework stays at a bend that is out of tolerance. Who leaves it as it is goes on,
  // where that is not the first piece.
  function rework({ again, next }) {
    turnTo(again);
    if (next && next.piece === again.piece && next.step === again.step) return;
    at("[data-go-on]").hidden = false;
    at("[data-go-on] button").textContent = next ? phone.phrase("go-on", next.piece, next.step) : phone.phrase("leave-it");
  }

  at("[data-go-on] button").addEventListener("click", goOn);

  function finish() {
    form.hidden = true;
    at("[data-part=setting]").hidden = true;
    last.firstElementChild.querySelector("[data-measured]").textContent += " " + phone.phrase("all-in");
  }

  // wrong says what is missing or cannot be, beside what was typed.
  function wrong(words, field = "typed") {
    unwrong();
    const note = phone.copy("wrong"), input = form.elements[field], folded = input.closest("details");
    note.querySelector("[data-words]").textContent = words;
    if (folded) folded.open = true;
    (folded ? input.parentElement : last).before(note);
    input.setAttribute("aria-invalid", "true");
    enter(input);
  }

  // notNow says why another bend is not turned to; the way on is the bend that is shown.
  function notNow(words) {
    unwrong();
    const note = phone.copy("not-now");
    note.firstElementChild.textContent = words;
    last.before(note);
    for (const ask of main.querySelectorAll("[data-release]")) ask.hidden = false;
    scrollTo(0, 0);
  }

  // enter puts the cursor into a field; one that is in view anyway moves nothing.
  function enter(field) {
    const dock = field.closest(".dock");
    field.focus({ preventScroll: Boolean(dock) && getComputedStyle(dock).position === "sticky" });
  }

  function unwrong() {
    for (const note of document.querySelectorAll("[data-kept-note]")) note.remove();
    for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
  }

  // What it means ----------------------------------------------------------

  function side(entry, verdict) {
    if (entry.reading.state === "scrapped") return ["halt", "stop", phone.phrase("scrapped", entry.reading.piece)];
    if (verdict.in_tolerance) return ["right", "right", phone.phrase("right")];
    const name = verdict.error > 0 ? "over" : "under";
    return [name, name, phone.phrase(name, rules.text(Math.abs(verdict.error)))];
  }

  function tell(entry, verdict) {
    const note = phone.copy("verdict"), [look, sign, words] = side(entry, verdict), { reading } = entry;
    note.firstElementChild.classList.add(look);
    note.querySelector("[data-sign]").append(phone.copy(sign));
    note.querySelector("[data-words]").textContent = words;
    note.querySelector("[data-measured]").textContent = phone.phrase("measured", rules.text(entry.known.bend), reading.piece, reading.step);
    const undo = note.querySelector("[data-undo]"), link = note.querySelector("[data-look]");
    main.classList.add("told");
    undo.addEventListener("click", () => takeBack(entry));
    setTimeout(() => {
      if (last.contains(undo) && at("[data-due]").hidden && queue.trouble() === "") main.classList.remove("told");
      undo.hidden = true;
      link.href = sheet + "?saved=" + encodeURIComponent(reading.id);
      link.hidden = queue.trouble() !== ""; // it leads to a page of the service
    }, UNDO);
    const more = at("[data-said]");
    more.textContent = verdict.advice;
    more.hidden = verdict.in_tolerance && !/\d/.test(verdict.advice); // "go on" is said by the next stop
    last.replaceChildren(note);
  }

  // takeBack sends a correction that takes the reading back: what was shown as saved
  // stays in the log, with the word that it does not count.
  async function takeBack(entry) {
    const { reading } = entry, { id, piece, step, measured, given_as, place, by } = reading;
    here = here.filter((one) => one !== entry);
    const taken = { id: phone.newId(), piece, step, measured, given_as, place, by, at: reading.at, corrects: id, flags: ["withdrawn"] };
    await queue.add({ sheet, reading: taken });
    const note = phone.copy("ask");
    note.querySelector("[data-heading]").textContent = phone.phrase("taken-back", rules.text(entry.known.bend));
    last.replaceChildren(note.firstElementChild);
    at("[data-said]").hidden = true;
    made = { piece, step };
    turnTo(rules.dueAt(job(), { piece, step }));
    queue.send();
  }

  // ask offers what was probably meant first. The reading has gone to the list of
  // questions; it holds up nothing.
  function ask(entry, verdict) {
    doubt = entry;
    const note = phone.copy("ask"), answers = note.querySelector("[data-answers]"), { reading } = entry;
    note.querySelector("[data-heading]").textContent = phone.phrase("not-yet");
    note.querySelector("[data-words]").textContent = verdict.ask || phone.phrase("no-angle");
    const offer = (look, words, change) => {
      const key = document.createElement("button");
      key.type = "button";
      key.className = look;
      key.textContent = words;
      key.addEventListener("click", () => answer({ ...reading, ...change }));
      answers.append(key, " ");
    };
    const as = reading.given_as === "opening";
    verdict.likely.forEach(({ measured, opening }, i) => {
      const words = opening === as ? "is-it" : opening ? "as-opening" : "as-bend";
      offer(i === 0 ? "main" : "plain", phone.phrase(words, rules.text(measured)), { measured: measured / 100, given_as: opening ? "opening" : "bend" });
    });
    if (verdict.ask) offer("plain", phone.phrase("yes-it-is", rules.text(Math.round(reading.measured * 100))), { confirmed: true });
    note.querySelector("[data-no]").addEventListener("click", sayNo);
    last.replaceChildren(note);
    form.elements.typed.value = "";
    last.scrollIntoView({ block: "nearest" });
    answers.querySelector("button").focus();
  }

  async function answer(reading) {
    const entry = { reading, known: read.known(table, reading) };
    await queue.add({ sheet, reading });
    deafUntil = performance.now() + DEAF;
    if (reading.given_as !== form.elements.pad_as.value) show(reading.given_as);
    keepAndShow(entry, rules.judge(job(), { ...entry.known, confirmed: true }));
    queue.send();
  }

  // impossible offers what was probably meant by an angle that cannot be; it is never
  // sent as it was typed.
  function impossible(entry) {
    const likely = rules.likely(rules.begin(table), entry.known);
    if (likely.length === 0) wrong(phone.phrase("no-angle"));
    else ask(entry, { ask: "", likely });
  }

  async function sayNo() {
    const { id, piece, step } = doubt.reading, sent = rules.possible(table, doubt.known);
    doubt = null;
    if (sent) await queue.add({ sheet, no: { id, answer: "no", piece, step } });
    last.replaceChildren();
    enter(form.elements.typed);
    queue.send();
  }

  // What the service says --------------------------------------------------

  queue.on("stored", (entry, said) => {
    if (entry.sheet !== sheet || !said.reading) return;
    if (entry.reading.id === awaited) location.assign(sheet + "?saved=" + encodeURIComponent(awaited));
    else if (said.halt || said.superseded_by) halt(said);
    else if ((said.reading.flags || []).includes("twice") && said.next) offerAnother(entry, said.next);
    else if (here.length > 0 && queue.waiting().length === 0) agree(said.next);
  });

  // offerAnother asks, when somebody else has logged the same bend meanwhile, whether
  // this one was of the next piece; that is sent as a correction.
  function offerAnother(entry, next) {
    const { reading } = entry, note = phone.copy("ask"), no = note.querySelector("[data-no]");
    note.querySelector("[data-heading]").textContent = phone.phrase("twice", reading.piece, reading.step);
    note.querySelector("[data-words]").remove();
    no.textContent = phone.phrase("mine-is", next.piece);
    no.addEventListener("click", async () => {
      last.replaceChildren();
      await queue.add({ sheet, reading: { ...reading, id: phone.newId(), piece: next.piece, corrects: reading.id } });
      queue.send();
    });
    if (next.step === reading.step && next.piece !== reading.piece) last.append(note);
    agree(next);
  }

  // agree takes up what the service says is next where it knows more than this phone,
  // such as what another one has logged; nothing is changed under a finger.
  async function agree(next) {
    const mine = rules.nextDue(job()), same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
    if (next && mine && next.stop_why === mine.why && ["piece", "step", "do", "words"].every((name) => next[name] === mine[name])) return;
    if (!next && !mine) return;
    const reply = await fetch(sheet + "/table", { headers: { "Accept": "application/json" } }).catch(() => null);
    if (!reply || !reply.ok || queue.waiting().length > 0) return;
    table = await reply.json();
    here = [];
    const now = rules.begin(table), due = rules.nextDue(now);
    if (rules.dueAt(now, shown).do !== "bend") return; // it stays at its rework
    const typing = form.elements.typed.value || form.querySelector("input:not([type]):not(#typed):focus");
    if (due && !same(due, mine) && !typing && !halted()) turnTo(due, false);
  }

  // halt shows at once why no further bend may be made; what was bent is still taken.
  function halt({ halt, superseded_by }) {
    if (halted()) return;
    const note = phone.copy("halt"), box = document.createElement("div");
    box.dataset.halted = "yes";
    if (halt) {
      note.querySelector("[data-heading]").textContent = halt.heading;
      note.querySelector("[data-words]").textContent = halt.words;
      note.querySelector("[data-way]").textContent = halt.way;
      form.hidden = true;
    }
    const newer = note.querySelector("[data-newer]");
    if (superseded_by) {
      newer.href = "/t/" + encodeURIComponent(superseded_by);
      newer.hidden = false;
    }
    note.querySelector("[data-again]").href = sheet;
    note.querySelector("[data-bent]").addEventListener("click", (event) => {
      form.hidden = false;
      event.currentTarget.hidden = true;
    });
    box.append(note);
    last.before(box);
    scrollTo(0, 0);
  }

  // Another phone or the office may have stopped the work meanwhile.
  document.addEventListener("brakeside-asks", () => {
    if (queue.waiting().length === 0 && !form.elements.typed.value) location.assign(sheet); // about the protractor, before the next bend
  });
  document.addEventListener("brakeside-halt", ({ detail }) => halt({ halt: detail, superseded_by: detail.newer }));

  queue.on("refused", (entry, words) => {
    if (entry.sheet !== sheet) return;
    if (entry.reading.id === awaited) {
      awaited = "";
      form.hidden = false;
      wrong(words);
      queue.refused().filter((kept) => kept.reading.id === entry.reading.id).forEach(queue.drop);
      return;
    }
    const one = here.find((saved) => saved.reading.id === entry.reading.id);
    here = here.filter((saved) => saved !== one);
    if (one) turnTo(rules.dueAt(job(), entry.reading));
    last.replaceChildren();
  });
  // Asked although this phone had no doubt: the question waits with the others.
  queue.on("asked", (entry) => {
    if (entry.reading.id === awaited) location.assign(sheet + "/questions#q-" + awaited);
    if (entry.sheet !== sheet || (doubt && doubt.reading.id === entry.reading.id)) return;
    if (here.some((saved) => saved.reading.id === entry.reading.id && !saved.reading.confirmed && saved.reading.measured === entry.reading.measured)) {
      here = here.filter((saved) => saved.reading.id !== entry.reading.id);
      for (const note of document.querySelectorAll("[data-questions]")) note.hidden = false;
    }
  });

  // Turning to another bend ------------------------------------------------

  function turnTo(due, moves = true) {
    const step = rules.stepOf(table, due.step), fresh = document.importNode(phone.piece("step", due.step).content, true);
    shown = { piece: due.piece, step: due.step };
    for (const part of [...fresh.querySelectorAll("[data-part]")]) at('[data-part="' + part.dataset.part + '"]').replaceWith(part);
    for (const notes of main.querySelectorAll("[data-notes]")) notes.replaceChildren();
    at("[data-go-on]").hidden = true;
    at("[data-piece-number]").textContent = due.piece;
    at("[data-step-number]").textContent = due.step;
    for (const field of main.querySelectorAll("input[name=piece]")) field.value = due.piece;
    for (const field of main.querySelectorAll("input[name=step]")) field.value = due.step;
    for (const link of main.querySelectorAll("[data-step-piece]")) {
      const piece = due.piece + Number(link.dataset.stepPiece);
      link.href = sheet + "/" + due.step + "?piece=" + piece;
      link.style.visibility = piece >= 1 && piece <= table.pieces ? "" : "hidden";
    }
    for (const link of main.querySelectorAll(".bends a[href*='piece=']")) {
      const step = link.querySelector("b").textContent;
      link.href = sheet + "/" + step + "?piece=" + due.piece;
      if (Number(step) === due.step) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    document.title = phone.phrase("title", due.piece, due.step, main.dataset.head);
    history.replaceState(null, "", sheet);
    empty(due, step);
    words(due);
    page.setStop(main, rules.text(due.stop), rules.text(rules.onScale(table, step.printed)), due.why);
    if (form.elements.pad_as.value === "opening") page.turnPad(form, "opening");
    form.hidden = false;
    if (moves) move();
  }

  // move brings the eye and the reader of the screen to the stop that is due.
  function move() {
    scrollTo(0, 0);
    form.elements.typed.blur();
    if (document.activeElement === document.body || !document.activeElement) at("[data-stop]").focus({ preventScroll: true });
  }

  // empty clears what was said of the bend before; what holds for the whole run, such
  // as who measures and with what, stays.
  function empty(due) {
    page.asTold(form);
    for (const name of ["typed", "note", "leg", "thickness"]) form.elements[name].value = "";
    for (const field of form.querySelectorAll("input[name=flags], input[name=pad]")) field.checked = false;
    for (const choice of form.querySelectorAll("input[name=state]")) choice.checked = choice.value === (due.do === "bend" ? "as-bent" : "reworked");
    for (const choice of form.querySelectorAll("input[name=place]")) choice.checked = choice.value === "middle";
    form.elements.id.value = phone.newId();
  }

  function words(due) {
    const line = at("[data-due]");
    line.hidden = due.do === "bend";
    line.textContent = due.do === "bend" ? "" : due.words;
    for (const ask of main.querySelectorAll("[data-release]")) ask.hidden = due.do !== "decide";
    const list = at("[data-doings]"), doings = page.doings(made, shown);
    list.hidden = doings.length === 0;
    list.replaceChildren(...doings.map(page.line));
    const sampling = at("[data-sampling]");
    sampling.textContent = page.sampling(table, rules.sample(job()), due.piece);
    sampling.hidden = sampling.textContent === "";
  }

  // Fingers and keys -------------------------------------------------------

  // A tap on the pad saves; arrow keys only choose, and Enter saves.
  form.addEventListener("click", (event) => {
    const key = event.target.closest("input[name=pad]");
    if (!key || event.detail === 0) return;
    form.elements.typed.value = "";
    if (performance.now() < deafUntil || saving) {
      key.checked = false;
      return;
    }
    page.setConvention(form, form.elements.pad_as.value);
    form.querySelector("button.main").click();
  });

  form.addEventListener("input", (event) => {
    if (event.target.name !== "pad") unwrong();
    if (event.target.name === "typed") for (const key of form.querySelectorAll("input[name=pad]")) key.checked = false;
    else if (event.target.name === "pad") form.elements.typed.value = "";
    else if (event.target.name === "stop_as") form.elements.stop.value = event.target.value;
    else if (event.target.name === "stop") for (const key of form.querySelectorAll("input[name=stop_as]")) key.checked = key.value === event.target.value;
    else if (event.target.name === "given_as") show(event.target.value);
  });

  // Without a network other bends are turned to in place; the page of the service says
  // more, such as what is in already.
  document.addEventListener("brakeside-away", (event) => {
    const to = new URL(event.detail.href), piece = Number(to.searchParams.get("piece")), step = Number(to.pathname.slice(sheet.length + 1));
    if (!bundle || halted() || !piece || !rules.stepOf(table, step) || to.searchParams.has("corrects")) return;
    event.preventDefault();
    const why = rules.whyNot(job(), { piece, step });
    if (why) notNow(why);
    else turnTo(rules.dueAt(job(), { piece, step }));
  });

  function show(convention) {
    page.setConvention(form, convention);
    page.turnPad(form, convention);
  }

  for (const key of form.querySelectorAll("[data-shift]")) {
    key.hidden = false;
    key.addEventListener("click", () => page.shiftPad(form, Number(key.dataset.shift)));
  }

  // A gauge that types as a keyboard types into the field, wherever the page stands.
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || form.hidden || !/^[0-9０-９.,-]$/.test(event.key)) return;
    if (event.target.closest("input:not([type=radio]):not([type=checkbox]), textarea")) return;
    enter(form.elements.typed);
  });

  // A page left for that of its reading may come back from the browser's memory.
  addEventListener("pageshow", (event) => {
    if (!event.persisted || !awaited) return;
    awaited = "";
    form.hidden = false;
  });

  form.addEventListener("submit", submit);
  Promise.all([queue.ready, fetchBundle()]).catch(() => {}); // without them the page is the plain form
})();
