"use strict";
// No page needs this. What is here is shared by all of them.
document.documentElement.classList.add("js");
// Everything that is folded on the screen is open on paper.
addEventListener("beforeprint", function () {
  document.querySelectorAll("details:not([open])").forEach(function (fold) {
    fold.dataset.folded = "";
    fold.open = true;
  });
});
addEventListener("afterprint", function () {
  document.querySelectorAll("details[data-folded]").forEach(function (fold) {
    delete fold.dataset.folded;
    fold.open = false;
  });
});
// A unit switched in the middle of a form keeps what was typed: a length in its own unit.
(function () {
  const units = document.querySelector(".units"), main = document.getElementById("answer");
  if (!units) return;
  const at = "typed " + units.elements.back.value, kept = JSON.parse(sessionStorage.getItem(at) || "{}");
  const each = (act) => main.querySelectorAll("input, select, textarea").forEach((field) => {
    const box = /radio|checkbox/.test(field.type);
    if (!/hidden|file/.test(field.type)) act(field, field.name + " " + (box ? field.value : field.id), box ? "checked" : "value");
  });
  const said = (text, unit) => text.split(/[;|]|,\s+/)
    .flatMap((part) => /^[-−+.,\d\s]+$/.test(part) ? part.trim().split(/\s+/) : part.trim())
    .map((part) => /\d/.test(part) && !/[a-z"'″′]/i.test(part) ? part + " " + unit : part).join("; ");
  units.addEventListener("submit", () => {
    const typed = {}, unit = units.querySelector("[aria-pressed=true]").value;
    each((field, id, what) => {
      const now = "length" in field.dataset ? said(field.value, unit) : field[what];
      if (now !== field[what === "value" ? "defaultValue" : "defaultChecked"] || "typed" in main.dataset) typed[id] = now;
    });
    sessionStorage.setItem(at, JSON.stringify(typed));
  });
  sessionStorage.removeItem(at);
  each((field, id, what) => {
    if (!(id in kept)) return;
    field[what] = kept[id];
    const fold = field.closest("details");
    if (fold && kept[id]) fold.open = true;
  });
})();
