"use strict";
// One make: the drawing is lined up elsewhere without the page jumping, and a page left open says when it is stale.
const EVERY_MS = 20000;

document.addEventListener("click", async function (event) {
  const link = event.target.closest("#drawing .align a");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  try {
    const answer = await fetch(link.href);
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("drawing");
    document.getElementById("drawing").replaceChildren(...fresh.childNodes);
    history.replaceState(null, "", link.href);
    document.querySelector("#drawing .align a[aria-current]").focus({preventScroll: true});
  } catch (_) {
    location.href = link.href;
  }
});

// Ticked deeds are kept at once; what cannot be kept says so and is ticked as it was.
const deeds = document.querySelector(".deed-list");
if (deeds) {
  deeds.querySelector(".keep").hidden = true;
  deeds.addEventListener("change", async function (event) {
    const done = [...deeds.querySelectorAll(":checked")].map((box) => Number(box.value));
    const told = deeds.querySelector("[role=status]");
    let kept = false;
    try {
      const body = JSON.stringify({deeds: done, report: deeds.elements.report.value});
      kept = (await fetch(deeds.dataset.put, {method: "PUT", headers: {"Content-Type": "application/json"}, body})).ok;
    } catch (_) {
      // The service is away.
    }
    if (!kept) event.target.checked = !event.target.checked;
    told.textContent = kept ? "" : deeds.dataset.lost;
    told.hidden = kept;
  });
}

// What passes a make on is asked for once it is opened.
const passing = document.getElementById("share");
if (passing) passing.addEventListener("toggle", function () {
  const script = document.createElement("script");
  script.src = passing.dataset.script;
  document.head.append(script);
}, {once: true});

const stale = document.getElementById("stale");

async function look() {
  if (document.hidden || !stale.hidden || !stale.dataset.digest) return;
  try {
    const now = await (await fetch(stale.dataset.now)).json();
    if (now.digest !== stale.dataset.digest) {
      const at = new Date(now.at).toLocaleTimeString([], {hour: "2-digit", minute: "2-digit", hourCycle: "h23"});
      const what = now.readings > Number(stale.dataset.readings) ? now.say.reading : now.say.changed;
      stale.querySelector("a").href = location.pathname + location.search;
      stale.hidden = false;
      document.getElementById("stale-what").textContent = what.replace("{time}", at);
    }
  } catch (_) {
    // The service is away; the next look tells.
  }
}

setInterval(look, EVERY_MS);
addEventListener("visibilitychange", look);
addEventListener("pageshow", look);
