"use strict";
// Inches on a phone: the marks of an inch stand at the foot of the screen for the field in hand. Without this a field takes
// 21 1/4 as it is typed.
(function () {
  const markup = document.getElementById("dock"), phone = matchMedia("(max-width: 44.99rem)");
  if (!markup || !document.getElementById("answer")) return;
  const dock = markup.content.firstElementChild, buttons = [...dock.querySelectorAll("button")];
  // The whole inches and the eighths at the end of what is typed: of the last reading, where there are several.
  const END = /(?:(\d+)(?![\d/])\s*)?(\d+\/\d+)?\s*$/;
  let field = null;

  function show() {
    const part = END.exec(field.value)[2] || "0";
    buttons.forEach((button) => button.setAttribute("aria-pressed", String(button.value === part && /\d/.test(field.value))));
  }
  function put(part) {
    if (/[.,]\d*\s*$/.test(field.value)) return;  // decimals have no eighths
    const found = END.exec(field.value), whole = found[1] || "";
    const fraction = part === "0" ? "" : part;
    field.value = field.value.slice(0, found.index) + (whole && fraction ? whole + " " + fraction : whole || fraction);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
  function leave(event) {
    if (field && !dock.contains(event.relatedTarget) && event.relatedTarget !== field) {
      field.removeEventListener("input", show);
      field = null;
      dock.remove();
    }
  }
  document.addEventListener("focusin", function (event) {
    if (!phone.matches || !event.target.matches("main [data-length]")) return;
    field = event.target;
    field.addEventListener("input", show);
    // The room below stays when the marks go: else the page jumps under the finger that taps the button at its end.
    document.body.classList.add("docks");
    document.body.append(dock);
    show();
  });
  document.addEventListener("focusout", leave);
  // A tap on a mark leaves the field in hand, and its keyboard where it is.
  dock.addEventListener("pointerdown", (event) => event.preventDefault());
  dock.addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (button && field) put(button.value);
  });
  // The keyboard of the phone makes room, so that the marks stand above it.
  document.querySelector("meta[name=viewport]").content += ",interactive-widget=resizes-content";
})();
