"use strict";
// Readings that a closed walk left on this phone, and taps at the machine, are sent from whichever page is opened next. The outbox itself is
// fetched only where something waits.
(function () {
  const outbox = document.currentScript.dataset.outbox;
  const left = function () {
    try {
      return Object.keys(localStorage).some(function (key) { return /^fitcheck\.(reading|away|tap)\./.test(key); });
    } catch (refused) { return false; }
  };
  const main = document.getElementById("answer");
  if (!main || !left()) return;

  const line = document.createElement("div"), said = document.createElement("p");
  line.className = "strip noprint";
  line.setAttribute("role", "status");
  line.append(said);

  function tell(first, say) {
    const waiting = Outbox.waiting(), refused = waiting.filter(function (entry) { return entry.refused; });
    const kept = first - waiting.length;
    const parts = [];
    const here = waiting.length - refused.length;
    if (kept > 0) parts.push((kept === 1 ? say.one_was_here : say.many_were_here).replace("{count}", kept));
    if (here > 0) parts.push((here === 1 ? say.one_is_here : say.many_are_here).replace("{count}", here));
    said.textContent = parts.join(" ");
    refused.forEach(function (entry) {
      const [make, piece, , how] = entry.scope.split("/").map(encodeURIComponent), link = document.createElement("a");
      link.href = "/makes/" + make + "/walk?piece=" + piece + "&how=" + how;
      link.textContent = say.in_its_walk;
      const told = say.refused.replace("{text}", entry.reading.text).replace("{why}", entry.refused);
      said.append((said.textContent ? " " : "") + told + " ", link, ".");
    });
    if (said.textContent && !line.isConnected) main.prepend(line);
  }

  const script = document.createElement("script");
  script.src = outbox;
  // The sentences come from the service, without which nothing can be sent either.
  script.addEventListener("load", async function () {
    const first = Outbox.waiting().length;
    const say = await (await fetch("/walk/leftover")).json();
    Outbox.onChange(function () { tell(first, say); });
    Outbox.send();
  });
  document.head.append(script);
})();
