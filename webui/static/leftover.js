"use strict";
// Readings that a closed walk left on this phone are sent from whichever page is opened next. The outbox itself is
// fetched only where something waits.
(function () {
  const outbox = document.currentScript.dataset.outbox;
  const left = function () {
    try {
      return Object.keys(localStorage).some(function (key) { return /^fitcheck\.(reading|away)\./.test(key); });
    } catch (refused) { return false; }
  };
  const main = document.getElementById("answer");
  if (!main || !left()) return;

  const readings = function (count) { return count + (count === 1 ? " reading" : " readings"); };
  const line = document.createElement("div"), said = document.createElement("p");
  line.className = "strip noprint";
  line.setAttribute("role", "status");
  line.append(said);

  function tell(first) {
    const waiting = Outbox.waiting(), refused = waiting.filter(function (one) { return one.refused; });
    const kept = first - waiting.length;
    const parts = [];
    if (kept > 0) parts.push(readings(kept) + (kept === 1 ? " was" : " were") + " on this phone; kept now.");
    if (waiting.length > refused.length) parts.push(readings(waiting.length - refused.length) + " on this phone so far.");
    said.textContent = parts.join(" ");
    refused.forEach(function (one) {
      const [make, piece, , how] = one.scope.split("/").map(encodeURIComponent), link = document.createElement("a");
      link.href = "/makes/" + make + "/walk?piece=" + piece + "&how=" + how;
      link.textContent = "Look at it in its walk";
      said.append((said.textContent ? " " : "") + "Not kept: " + one.reading.text + ". " + one.refused + " ", link, ".");
    });
    if (said.textContent && !line.isConnected) main.prepend(line);
  }

  const script = document.createElement("script");
  script.src = outbox;
  script.addEventListener("load", function () {
    const first = Outbox.waiting().length;
    Outbox.onChange(function () { tell(first); });
    Outbox.send();
  });
  document.head.append(script);
})();
