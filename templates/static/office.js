// The owner's pages fetch themselves anew when something was logged, so that
// progress moves without a reload. What is being typed is left alone.
"use strict";

(() => {
  const news = new EventSource("/news");
  let due = false;

  news.addEventListener("message", heard);
  news.addEventListener("open", heard); // what came before the line stood was not told

  function heard() {
    if (!due) {
      due = true;
      setTimeout(renew, 300); // several readings in a row make one renewal
    }
  }

  async function renew() {
    due = false;
    try {
      const here = document.querySelector("[data-live]").dataset.live; // the page may be the answer to a form
      const answer = await fetch(here || location.href, { headers: { "Accept": "text/html" } });
      if (!answer.ok || answer.redirected) return;
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      for (const part of document.querySelectorAll("[data-live]")) {
        const renewed = fresh.getElementById(part.id);
        if (renewed && !part.contains(document.activeElement) && renewed.outerHTML !== part.outerHTML) part.replaceWith(renewed);
      }
    } catch {
      // no network just now: the next news brings what was missed
    }
  }
})();
