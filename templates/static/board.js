// The page on the wall follows the job: it asks for itself now and then and shows
// what changed. While a hand is at its keys it is left alone.
"use strict";

(() => {
  const EVERY = 3000, PATIENCE = 10000; // ms

  async function follow() {
    const shown = document.getElementById("board");
    if (!document.hidden && !shown.querySelector("details[open]")) await renew(shown);
    setTimeout(follow, EVERY);
  }

  async function renew(shown) {
    const stop = new AbortController(), limit = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const reply = await fetch(location.href, { headers: { "Accept": "text/html" }, signal: stop.signal });
      if (!reply.ok) return;
      const fresh = new DOMParser().parseFromString(await reply.text(), "text/html").getElementById("board");
      const words = (board) => board.innerHTML.replace(/name="id" value="[^"]*"/g, "");
      if (words(fresh) !== words(shown)) shown.replaceWith(document.importNode(fresh, true));
    } catch {
      // no network just now: what is shown stays
    } finally {
      clearTimeout(limit);
    }
  }

  setTimeout(follow, EVERY);
})();
