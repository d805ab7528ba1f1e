"use strict";
// What still waits on this device, as text to be copied: for a device that was removed, and for another address.
(() => {
  const section = document.getElementById("waiting"), field = section.querySelector("textarea");
  const ORDER = ["reading", "tap", "away"];
  const button = section.querySelector("button"), told = section.querySelector("[role=status]");

  // The page of pairing has no outbox: what waits stands in the memory that both share.
  const outbox = typeof Outbox === "undefined" ? null : Outbox;
  function lines() {
    if (outbox) return outbox.lines();
    try {
      const kept = Object.keys(localStorage).map((key) => [/^fitcheck\.(reading|tap|away)\./.exec(key), key])
        .filter(([kind]) => kind).map(([kind, key]) => ({ order: ORDER.indexOf(kind[1]), ...JSON.parse(localStorage.getItem(key)) }));
      return kept.sort((one, other) => one.order - other.order || (one.at < other.at ? -1 : 1)).map((entry) => entry.line);
    } catch (none) { return []; }
  }

  function show() {
    const waiting = lines(), text = waiting.join("\n");
    section.hidden = !text || (outbox !== null && !outbox.trouble);
    if (field.value === text) return;
    field.value = text;
    told.textContent = "";
  }
  button.addEventListener("click", () => {
    field.select(); // plain http has no clipboard of its own
    told.textContent = document.execCommand("copy") ? button.dataset.copied : button.dataset.marked;
  });
  if (outbox) outbox.onChange(show);
  show();
})();
