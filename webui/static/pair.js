"use strict";
// The code that a QR brought stands behind the # of the address: it is put into its field, and taken out of the address.
(function () {
  const form = document.getElementById("pair"), code = location.hash.slice(1);
  if (location.pathname !== "/pair") form.elements.to.value = location.pathname + location.search;
  if (!code) return;
  form.elements.code.value = code;
  history.replaceState(null, "", location.pathname + location.search);
})();
