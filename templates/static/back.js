// A page that comes back from the browser's memory is asked for anew: what it shows
// may be of before a save, or the owner may have signed out since. At the brake it
// stays as it is where the service cannot be asked: readings can still be kept.
"use strict";

addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  if (document.querySelector("main.brake")) {
    fetch(location.href, { method: "HEAD" }).then(() => location.reload(), () => {});
    return;
  }
  document.documentElement.hidden = true;
  location.reload();
});
