// A page that comes back from the browser's memory is asked for anew: what it shows
// may be of before a save, or the owner may have signed out since.
"use strict";

addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
