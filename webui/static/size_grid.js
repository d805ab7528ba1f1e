"use strict";
// The grid works without this. With it Enter goes down a row, arrows go up and down, and what a spreadsheet copied
// is spread over the cells that it is pasted into.
(function () {
  const form = document.querySelector("form.size-grid");
  if (!form) return;
  const at = function (row, column) { return form.elements.namedItem("c_" + row + "_" + column); };
  const placeOf = function (input) {
    const match = /^c_(\d+)_(\d+)$/.exec(input.name || "");
    return match && [Number(match[1]), Number(match[2])];
  };
  // A cell is brought out from under the names, which stay where they are, and into a screen of one size.
  const show = function (input) { input.scrollIntoView({ block: "nearest", inline: "nearest" }); };
  const go = function (input) { if (input) { input.focus({ preventScroll: true }); input.select(); } };
  form.addEventListener("keydown", function (event) {
    const place = placeOf(event.target);
    if (!place || event.altKey || event.ctrlKey || event.metaKey || event.isComposing) return;
    const step = { Enter: event.shiftKey ? -1 : 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    // From the last row Enter goes to the top of the next size.
    go(at(place[0] + step, place[1]) || (event.key === "Enter" && step > 0 ? at(0, place[1] + 1) : null));
  });
  // What stands in a cell is replaced by what is typed: sizes come named 1, 2, 3.
  form.addEventListener("focusin", function (event) {
    if (event.target.type === "text") event.target.select();
    if (placeOf(event.target)) show(event.target);
  });
  // What a row is called says by its words whether its figures are counts; a narrow screen shows the name in as many lines
  // as it has.
  const ofCounts = form.dataset.counted.split(" ");
  form.addEventListener("input", function (event) {
    const row = event.target;
    if (!/^row_/.test(row.name)) return;
    row.nextElementSibling.textContent = row.value;
    const counted = (row.value.toLowerCase().match(/[a-z]+/g) || []).some(function (word) { return ofCounts.includes(word); });
    row.closest("tr").querySelectorAll("td input").forEach(function (cell) {
      cell.toggleAttribute("data-length", !counted);
    });
  });
  const refused = form.querySelector(".grid-wrap [aria-invalid]");
  if (refused) {
    const wrap = refused.closest(".grid-wrap"), past = refused.getBoundingClientRect().right - wrap.getBoundingClientRect().right;
    if (past > 0 && placeOf(refused)) wrap.scrollLeft += past + 4;
  }
  form.addEventListener("paste", function (event) {
    const place = placeOf(event.target);
    const text = event.clipboardData ? event.clipboardData.getData("text") : "";
    const rows = text.replace(/\r/g, "").replace(/\n+$/, "").split("\n").map(function (line) { return line.split("\t"); });
    if (!place || (rows.length === 1 && rows[0].length === 1)) return;
    event.preventDefault();
    const fits = rows.every(function (cells, down) {
      return cells.every(function (_, across) { return at(place[0] + down, place[1] + across); });
    });
    const figures = rows.every(function (cells) { return /^\s*([\d+\-−]|$)/.test(cells[0]); });
    if (fits && figures) {
      rows.forEach(function (cells, down) {
        cells.forEach(function (cell, across) { at(place[0] + down, place[1] + across).value = cell.trim(); });
      });
      return;
    }
    // More than the grid holds, or points in front: the whole table is read at once.
    form.elements.namedItem("pasted").value = text;
    form.querySelector('button[value="paste"]').click();
  });
})();
