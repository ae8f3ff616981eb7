// Two people may work from one sheet. This tells the service now and then which
// bend is open on this phone, and shows who else has one open. It works over
// plain http and needs no open connection; the page shows the same without it,
// as it was when it was loaded.
"use strict";

(() => {
  const EVERY = 10000; // ms
  const main = document.querySelector("main.brake");
  if (!main) return;
  const address = main.dataset.sheet + "/presence";
  let timer = 0;

  // The form is looked up each time: bend.js may have turned to another bend.
  function where() {
    const form = document.querySelector("[data-log]");
    if (!form) return null;
    return new URLSearchParams({
      piece: form.elements.piece.value, step: form.elements.step.value, by: form.elements.by.value,
    });
  }

  async function tell() {
    clearTimeout(timer);
    const here = where();
    if (!here || document.hidden) return;
    try {
      const answer = await fetch(address, { method: "POST", body: here, headers: { "Accept": "application/json" } });
      if (!answer.ok) return;
      const company = await answer.json();
      show(company);
      if (company.asks) document.dispatchEvent(new CustomEvent("brakeside-asks"));
      if (company.halt) document.dispatchEvent(new CustomEvent("brakeside-halt", { detail: company.halt }));
    } catch {
      // no network just now: what the page says stays as it is
    } finally {
      timer = setTimeout(tell, EVERY);
    }
  }

  function show(company) {
    const note = document.querySelector("[data-company]");
    if (!note) return;
    note.hidden = company.words === "";
    note.classList.toggle("here", company.here);
    const shown = company.words + (company.instead ? company.instead.words : "");
    if (note.dataset.shown === shown) return; // no need to read it out again
    note.dataset.shown = shown;
    const line = document.createElement("p");
    line.textContent = company.words;
    note.replaceChildren(line);
    if (!company.instead) return;
    const way = document.createElement("a");
    way.className = "plain";
    way.href = company.instead.address;
    way.textContent = company.instead.words;
    note.append(way);
  }

  function leave() {
    const here = where();
    if (!here) return;
    here.set("left", "true");
    navigator.sendBeacon(address, here);
  }

  addEventListener("pagehide", leave);
  addEventListener("pageshow", tell);
  document.addEventListener("visibilitychange", tell);
})();
