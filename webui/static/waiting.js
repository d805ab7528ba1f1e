"use strict";
// What still waits on this device, as text to be copied: for the service under another address.
(() => {
  const section = document.getElementById("waiting"), field = section.querySelector("textarea");
  const button = section.querySelector("button"), told = section.querySelector("[role=status]");

  function show() {
    const text = Outbox.text();
    section.hidden = !text || !(Outbox.trouble || "always" in section.dataset);
    if (field.value === text) return;
    field.value = text;
    told.textContent = "";
  }
  button.addEventListener("click", () => {
    field.select(); // plain http has no clipboard of its own
    told.textContent = document.execCommand("copy") ? button.dataset.copied : button.dataset.marked;
  });
  Outbox.onChange(show);
  show();
})();
