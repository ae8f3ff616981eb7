// A photo is kept on the phone until the service has it, like a reading. It is
// made smaller first: a camera's picture is ten times larger than a note needs,
// and a network in a shop is slow. Without script the form sends the picture as
// the camera took it.
"use strict";

(() => {
  const LONGEST_SIDE = 1600, QUALITY = 0.8; // pixels; share of the best
  const FIRST_PAUSE = 2000, LONGEST_PAUSE = 60000, PATIENCE = 120000; // ms
  const NAME = "brakeside-photos";

  // The photos that wait -------------------------------------------------

  function opened() {
    return new Promise((done, failed) => {
      const opening = indexedDB.open(NAME, 1);
      opening.onupgradeneeded = () => opening.result.createObjectStore("waiting", { keyPath: "id" });
      opening.onerror = () => failed(opening.error);
      opening.onsuccess = () => done(opening.result);
    });
  }

  // store runs one piece of work on the photos that wait on this phone.
  async function store(mode, work) {
    const db = await opened();
    try {
      return await within(db.transaction("waiting", mode), work);
    } finally {
      db.close();
    }
  }

  // within does a piece of work and answers once it is done for good. What a browser
  // throws at once, because it keeps no such thing, is a failure like any other.
  function within(change, work) {
    return new Promise((done, failed) => {
      const asked = work(change.objectStore("waiting"));
      change.oncomplete = () => done(asked.result);
      change.onabort = change.onerror = () => failed(change.error);
    });
  }

  let held = []; // photos that this phone does not keep on its disk: this page has them

  const waiting = async () => [...held, ...await store("readonly", (photos) => photos.getAll()).catch(() => [])];
  const keep = (photo) => store("readwrite", (photos) => photos.put(photo)).catch(() => held.push(photo));

  async function drop(photo) {
    if (held.includes(photo)) held = held.filter((one) => one !== photo);
    else await store("readwrite", (photos) => photos.delete(photo.id));
  }

  // Sending --------------------------------------------------------------

  let sending = false, pause = FIRST_PAUSE, timer = 0;

  async function send() {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    try {
      for (let all = await waiting(); all.length > 0; all = await waiting()) {
        const photo = all[0];
        const words = await post(photo);
        await drop(photo);
        pause = FIRST_PAUSE;
        say(words, photo);
      }
    } catch (trouble) {
      timer = setTimeout(send, Math.min(trouble.after || pause, LONGEST_PAUSE));
      if (!trouble.after) pause = Math.min(2 * pause, LONGEST_PAUSE);
      await count(trouble);
    } finally {
      sending = false;
    }
  }

  const { phrase, newId } = phone;

  // post answers with the words to show once the service has decided, and fails
  // while it has not.
  async function post(photo) {
    const body = new FormData();
    for (const [name, value] of Object.entries(photo.fields)) body.append(name, value);
    body.append("photo", photo.picture || new Blob([photo.bytes]), "photo"); // an older page kept the picture itself
    const stop = new AbortController();
    const limit = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(photo.address, { method: "POST", body, signal: stop.signal, headers: { "Accept": "application/json" } });
      if (answer.ok) return phrase("photo-kept");
      const refusal = (await answer.json()).error.message;
      const after = 1000 * Number(answer.headers.get("Retry-After")); // when the service takes the next one
      if (answer.status === 429 || answer.status >= 500) throw Object.assign(new Error(refusal), { after });
      return phrase("photo-refused") + " " + refusal;
    } finally {
      clearTimeout(limit);
    }
  }

  async function count(trouble) {
    const n = (await waiting()).length;
    const why = trouble instanceof TypeError || trouble.name === "AbortError" ? phrase("no-network") : trouble.message;
    if (n > 0) say((n === 1 ? phrase("one-photo") : phrase("photos").replace("#", n)) + " " + why);
  }

  function say(words) {
    for (const line of document.querySelectorAll("[data-photo-words]")) line.textContent = words;
  }

  // Taking ---------------------------------------------------------------

  async function take(form) {
    const file = form.elements.photo.files[0];
    if (!file) return say(phrase("no-photo"));
    say(phrase("moment"));
    const fields = {};
    for (const name of ["id", "piece", "step", "reading"]) {
      if (form.elements[name]) fields[name] = form.elements[name].value;
    }
    fields.id = newId(); // one form may take several photos
    const initials = document.querySelector("#by");
    if (initials) fields.by = initials.value;
    const photo = { id: fields.id, address: form.getAttribute("action"), fields, bytes: await bytesOf(await smaller(file)) };
    await keep(photo);
    form.elements.photo.value = "";
    await send();
  }

  // smaller gives the picture with its longest side cut down, turned as it was
  // seen. What cannot be read here is left as it is: the service will say so.
  async function smaller(file) {
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(picture.width * scale);
      canvas.height = Math.round(picture.height * scale);
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      picture.close();
      const made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
      return made && made.size < file.size ? made : file;
    } catch {
      return file;
    }
  }

  // bytesOf gives what is in a file. Some browsers keep files nowhere, or lose them
  // with the page; bytes they keep.
  const bytesOf = (file) => new Response(file).arrayBuffer();

  // A picture that cannot be read here goes with the plain form instead.
  function plainly(form) {
    if (form.elements.photo.files.length > 0) HTMLFormElement.prototype.submit.call(form);
  }

  // The form is looked for at each event: bend.js may have turned to another
  // bend.
  document.addEventListener("change", (event) => {
    const form = event.target.closest("[data-photo]");
    if (form) take(form).catch(() => plainly(form));
  });
  document.addEventListener("submit", (event) => {
    if (!event.target.matches("[data-photo]")) return;
    event.preventDefault();
    take(event.target).catch(() => plainly(event.target));
  });
  document.documentElement.dataset.photos = "at once"; // no button is needed
  addEventListener("online", send);
  addEventListener("beforeunload", (event) => {
    if (held.length > 0) {
      event.preventDefault();
      event.returnValue = ""; // older browsers ask only for this
    }
  });
  send();
})();
