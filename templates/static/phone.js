// What the scripts of the phone's pages have in common.
"use strict";

const phone = {
  // phrase gives words that the page brings along, in the language of the shop.
  phrase: (name) => document.querySelector('template[data-phrase="' + name + '"]').content.textContent,

  // newId makes an id that no other phone makes. It begins with the time, so that
  // what comes in together lies together on the service's disk; a clock that is
  // wrong does no harm.
  newId: () => {
    const bytes = crypto.getRandomValues(new Uint8Array(6));
    return Date.now().toString(16).padStart(12, "0") + Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  },
};
