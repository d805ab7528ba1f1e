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
