// What the scripts of the phone's pages have in common.
"use strict";

const phone = {
  // Where phrases and pieces of pages stand: on the page, and in the bundle of the
  // traveler once that is at hand.
  books: [document],

  piece: (kind, name) => {
    for (const book of phone.books) {
      const found = book.querySelector("template[data-" + kind + '="' + name + '"]');
      if (found) return found;
    }
    return null;
  },

  // phrase gives words that the page brings along, in the language of the shop, with
  // its gaps filled in their order.
  phrase: (name, ...values) =>
    values.reduce((words, value) => words.replace("#", () => value), phone.piece("phrase", name).content.textContent),

  // copy gives a piece of a page that is shown now and then.
  copy: (name) => document.importNode(phone.piece("kept", name).content, true),

  // newId makes an id that no other phone makes. It begins with the time, so that
  // what comes in together lies together on the service's disk; a clock that is
  // wrong does no harm.
  newId: () => {
    const bytes = crypto.getRandomValues(new Uint8Array(6));
    return Date.now().toString(16).padStart(12, "0") + Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  },

  // reaches asks the service for a page without fetching it, for no longer than a
  // person waits.
  reaches: async (address) => {
    if (navigator.onLine === false) return false;
    const stop = new AbortController(), limit = setTimeout(() => stop.abort(), 3000);
    const answer = await fetch(address, { method: "HEAD", signal: stop.signal }).catch(() => null);
    clearTimeout(limit);
    return answer !== null;
  },

  // away tells a service that is down from a network that is away.
  away: () => phone.phrase(navigator.onLine === false ? "no-network" : "no-service"),

  // number reads what a person or a gauge types: with a comma, a sign for degrees
  // or millimetres, or wide digits. What is no number comes back as it was typed.
  number: (text) => {
    const plain = text.replace(/[°º˚]|mm$/g, "").normalize("NFKC").trim().replace(",", ".");
    const value = Number(plain);
    return plain !== "" && Number.isFinite(value) ? value : text;
  },
};
