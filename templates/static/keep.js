// What a phone keeps until the service has it, and what it must know without a
// network: readings that wait, readings that were refused, and the bundle of each
// traveler. Writes are asked to be on the disk before they count ("strict"); a
// browser that does not know the word writes as it always does.
"use strict";

const keep = (() => {
  const NAME = "brakeside", VERSION = 1, OLD = "brakeside-unsent";
  let opened = null;

  function open() {
    if (opened) return opened;
    opened = new Promise((done, failed) => {
      const opening = indexedDB.open(NAME, VERSION);
      opening.onupgradeneeded = () => {
        const db = opening.result;
        for (const list of ["waiting", "refused"]) db.createObjectStore(list, { keyPath: "seq", autoIncrement: true });
        db.createObjectStore("bundles", { keyPath: "sheet" });
      };
      opening.onsuccess = () => {
        opening.result.onversionchange = () => { opening.result.close(); opened = null; };
        opening.result.onclose = () => { opened = null; };
        done(opening.result);
      };
      opening.onerror = () => { opened = null; failed(opening.error); };
    });
    return opened;
  }

  // within does one piece of work on a list and answers once it is done for good.
  async function within(list, mode, work) {
    const db = await open();
    return new Promise((done, failed) => {
      const change = mode === "readwrite" ? db.transaction(list, mode, { durability: "strict" }) : db.transaction(list);
      const asked = work(change.objectStore(list));
      change.oncomplete = () => done(asked.result);
      change.onabort = change.onerror = () => failed(change.error || asked.error);
    });
  }

  const all = (list) => within(list, "readonly", (store) => store.getAll());
  const add = (list, entry) => within(list, "readwrite", (store) => store.add(entry));
  const put = (list, entry) => within(list, "readwrite", (store) => store.put(entry));
  const get = (list, key) => within(list, "readonly", (store) => store.get(key));
  const drop = (list, key) => within(list, "readwrite", (store) => store.delete(key));

  // takeOver brings in what an older page of this service left waiting.
  async function takeOver() {
    let left = [];
    try {
      left = JSON.parse(localStorage.getItem(OLD)) || [];
    } catch {
      return;
    }
    for (const entry of left) await add("waiting", { sheet: entry.sheet, reading: entry.reading });
    localStorage.removeItem(OLD);
  }

  return { all, add, put, get, drop, takeOver };
})();
