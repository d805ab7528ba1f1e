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
// Where there is a keyboard, the first field is in hand at once, if it can be seen without scrolling past the heading.
addEventListener("DOMContentLoaded", function () {
  const field = document.querySelector("[data-first]");
  if (field && matchMedia("(hover: hover) and (pointer: fine)").matches && field.getBoundingClientRect().bottom <= innerHeight) {
    field.focus({ preventScroll: true });
  }
});
// A figure that was tapped is typed over at once: once the page stands at its mark, or a browser takes the focus away.
addEventListener("load", function () {
  const field = document.getElementById("fix-text");
  if (field) {
    field.focus();
    field.select();
  }
});
