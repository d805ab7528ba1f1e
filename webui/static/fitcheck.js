"use strict";
// No page needs this. What is here is shared by all of them.
document.documentElement.classList.add("js");
// Everything that is folded on the screen is open on paper.
addEventListener("beforeprint", function () {
  document.querySelectorAll("details:not([open])").forEach(function (one) {
    one.dataset.folded = "";
    one.open = true;
  });
});
addEventListener("afterprint", function () {
  document.querySelectorAll("details[data-folded]").forEach(function (one) {
    delete one.dataset.folded;
    one.open = false;
  });
});
// A unit switched in the middle of a form keeps what was typed: a length in its own unit.
(function () {
  const units = document.querySelector(".units"), main = document.getElementById("answer");
  if (!units) return;
  const at = "typed " + units.elements.back.value, kept = JSON.parse(sessionStorage.getItem(at) || "{}");
  const each = (act) => main.querySelectorAll("input, select, textarea").forEach((one) => {
    const box = /radio|checkbox/.test(one.type);
    if (!/hidden|file/.test(one.type)) act(one, one.name + " " + (box ? one.value : one.id), box ? "checked" : "value");
  });
  const said = (text, unit) => text.split(/[;|]|,\s+/)
    .flatMap((part) => /^[-−+.,\d\s]+$/.test(part) ? part.trim().split(/\s+/) : part.trim())
    .map((part) => /\d/.test(part) && !/[a-z"'″′]/i.test(part) ? part + " " + unit : part).join("; ");
  units.addEventListener("submit", () => {
    const typed = {}, unit = units.querySelector("[aria-pressed=true]").value;
    each((one, id, what) => {
      const now = "length" in one.dataset ? said(one.value, unit) : one[what];
      if (now !== one[what === "value" ? "defaultValue" : "defaultChecked"] || "typed" in main.dataset) typed[id] = now;
    });
    sessionStorage.setItem(at, JSON.stringify(typed));
  });
  sessionStorage.removeItem(at);
  each((one, id, what) => {
    if (!(id in kept)) return;
    one[what] = kept[id];
    const fold = one.closest("details");
    if (fold && kept[id]) fold.open = true;
  });
})();
