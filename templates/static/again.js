// A page that shows how far something has come asks again until it is done.
"use strict";

setTimeout(() => location.reload(), 1000);
