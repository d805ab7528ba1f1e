"use strict";
// A sheet that was begun so as to be printed is printed at once; a page that is loaded again is not.
if (new URLSearchParams(location.search).has("print")) {
  history.replaceState(null, "", location.pathname);
  addEventListener("load", () => document.fonts.ready.then(() => print()));
}
