// Readings go into the queue first and only then to the service, so that nothing
// is lost between the two. They go one at a time, in their order, each under an id
// made on the phone; the service stores an id once, so that sending twice does no
// harm. What the service asks about waits there, in the list of questions; what it
// refuses is kept here, to be corrected or deleted. Neither holds up the next.
"use strict";

const queue = (() => {
  const FIRST_PAUSE = 1000, LONGEST_PAUSE = 60000, SOON = 5000, PATIENCE = 10000; // ms
  const heard = { stored: [], asked: [], refused: [], changed: [] };
  let waiting = [], refused = [], trouble = "";
  let loaded = false, sent = 0, sending = false, pause = FIRST_PAUSE, timer = 0;

  // on has a function called when a reading was stored, asked about or refused, or
  // when the lists have changed.
  function on(what, then) { heard[what].push(then); }
  function tell(what, ...of) { for (const then of heard[what]) then(...of); }

  async function load() {
    await keep.takeOver();
    [waiting, refused] = await Promise.all([keep.all("waiting"), keep.all("refused")]);
    loaded = true;
    tell("changed");
  }

  // add answers once the reading is on the disk of this phone.
  async function add(entry) {
    const seq = await keep.add("waiting", entry);
    waiting.push({ ...entry, seq });
    tell("changed");
  }

  async function done(entry) {
    await keep.drop("waiting", entry.seq);
    waiting = waiting.filter((one) => one.seq !== entry.seq);
    tell("changed");
  }

  // Busy is a service that takes nothing now; after is when it said it will, in ms.
  class Busy extends Error {
    constructor(words, after) { super(words); this.after = after; }
  }

  // send empties the queue from the front. Only one send runs at a time.
  async function send() {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    try {
      while (waiting.length > 0) {
        await decided(waiting[0], await post(waiting[0]));
        pause = FIRST_PAUSE;
        trouble = "";
      }
    } catch (error) {
      waitFor(error);
    } finally {
      sending = false;
      tell("changed");
    }
  }

  // waitFor sends on later. A service that takes what was kept piece by piece says when
  // it takes the next one: that is no trouble, and makes no longer pauses.
  function waitFor(error) {
    if (error.after > 0) {
      timer = setTimeout(send, Math.min(error.after, LONGEST_PAUSE));
      trouble = error.after > SOON ? whyNot(error) : "";
      return;
    }
    timer = setTimeout(send, pause);
    pause = Math.min(2 * pause, LONGEST_PAUSE);
    trouble = whyNot(error);
  }

  // whyNot tells a service that says why it takes nothing, such as a full disk, from
  // one that is down, and both from a network that is away.
  function whyNot(error) {
    if (error instanceof Busy) return phone.phrase("service-answers") + " " + error.message;
    return phone.away();
  }

  async function decided(entry, { status, answer, after }) {
    // 403: somebody is signed in on this phone who may only look, until they sign out.
    if (status === 403 || status === 429 || status >= 500) throw new Busy(answer.error ? answer.error.message : phone.phrase("cannot-take"), after);
    if (status < 300) {
      await done(entry);
      sent++;
      tell("stored", entry, answer);
    } else if (answer.confirm) {
      await done(entry);
      tell("asked", entry, answer);
    } else if (entry.reading) {
      const words = answer.error ? answer.error.message : phone.phrase("cannot-take");
      await refuse(entry, words);
    } else {
      await done(entry); // a question that others have answered
    }
  }

  async function refuse(entry, words) {
    const kept = { sheet: entry.sheet, reading: entry.reading, words };
    refused.push({ ...kept, seq: await keep.add("refused", kept) });
    await done(entry);
    tell("refused", entry, words);
  }

  // post sends a reading, or the answer No to a question.
  async function post(entry) {
    const stop = new AbortController();
    const limit = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const sent = entry.reading
        ? { to: "/readings", body: JSON.stringify(entry.reading), kind: "application/json" }
        : { to: "/questions", body: new URLSearchParams(entry.no).toString(), kind: "application/x-www-form-urlencoded" };
      const reply = await fetch(entry.sheet + sent.to, {
        method: "POST", signal: stop.signal, body: sent.body, headers: { "Content-Type": sent.kind, "Accept": "application/json" },
      });
      const after = 1000 * Number(reply.headers.get("Retry-After")); // 0 without one
      return { status: reply.status, answer: await reply.json().catch(() => ({})), after };
    } finally {
      clearTimeout(limit);
    }
  }

  async function drop(entry) {
    await keep.drop("refused", entry.seq);
    refused = refused.filter((one) => one.seq !== entry.seq);
    tell("changed");
  }

  // What is on the page ----------------------------------------------------

  // The count is that of readings: one that was asked about and answered waits twice.
  const count = () => new Set(waiting.map((entry) => (entry.reading || entry.no).id)).size;

  function show() {
    for (const note of document.querySelectorAll("[data-unsent]")) {
      note.hidden = waiting.length === 0 || trouble === "";
      note.querySelector("[data-count]").textContent = count() === 1 ? phone.phrase("one-reading") : phone.phrase("readings", count());
      note.querySelector("[data-trouble]").textContent = trouble;
    }
    for (const place of document.querySelectorAll("[data-refused]")) place.replaceChildren(...refused.map(note));
  }

  const named = (name, { piece, step, measured }) => phone.phrase(name, piece, step, measured);

  // note shows a reading that the service does not take, and why. Deleting it says
  // what goes and asks each time.
  function note(entry) {
    const shown = phone.copy("refused"), { piece, step } = entry.reading;
    shown.querySelector("[data-what]").textContent = named("not-taken", entry.reading);
    shown.querySelector("[data-words]").textContent = entry.words;
    shown.querySelector("[data-correct]").href = entry.sheet + "/" + step + "?piece=" + piece + "&bent=yes&refused=" + entry.seq;
    const key = shown.querySelector("[data-drop]");
    key.addEventListener("click", () => {
      if (key.dataset.asked) {
        drop(entry);
        return;
      }
      key.dataset.asked = "yes";
      key.textContent = named("delete-sure", entry.reading);
    });
    return shown;
  }

  on("changed", show);
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  document.addEventListener("click", (event) => { if (event.target.closest("[data-send]")) send(); });
  addEventListener("beforeunload", (event) => {
    if (waiting.length > 0 && trouble !== "") {
      event.preventDefault();
      event.returnValue = ""; // older browsers ask only for this
    }
  });

  const ready = load();
  ready.then(send, () => {}); // a phone that keeps nothing for pages sends plain forms

  return { on, ready, add, send, drop, loaded: () => loaded, sent: () => sent, waiting: () => waiting, refused: () => refused, trouble: () => trouble };
})();
