"use strict";
// The measuring walk with JavaScript: own pad, next point at once, readings kept on the phone first. Without it the
// page is one form per point.
(() => {
  const data = JSON.parse(document.getElementById("walk-data").textContent);
  const at = (id) => document.getElementById(id);
  const input = at("reading");
  const signed = data.how === "overhang";
  const say = WalkReading.say;
  // A text as it is set in a page: its fractions of an inch are elements.
  const set = (text) => text.split(/\b(\d\d?\/(?:2|4|8|16))\b/).map((part, place) => {
    if (place % 2 === 0) return part;
    const fraction = document.createElement("span");
    fraction.className = "frac";
    fraction.textContent = part;
    return fraction;
  });
  const steps = new Map(data.steps.map((step) => [step.id, step]));
  const skipped = new Set();
  const field = WalkField(data);
  let look = data.look, order = data.order, times = data.times, current = null, last = null, waitsFor = null, asks = null;
  let asked = 0;

  // What this phone holds counts like what the service holds; what was taken back does not.
  Outbox.waiting(data.scope).forEach((entry) => {
    const step = steps.get(entry.step);
    if (step && !entry.refused && !step.kept.some((reading) => reading.id === entry.id)) step.kept.push(keptOf(entry));
  });
  steps.forEach((step) => { step.kept = step.kept.filter((reading) => !Outbox.isLeaving(reading.id)); });
  const history = [];
  steps.forEach((step) => step.kept.forEach((reading) => {
    if (reading.look === look && reading.id.startsWith("w")) history.push({ step, id: reading.id, at: reading.at });
  }));
  history.sort((a, b) => (Date.parse(a.at) || 0) - (Date.parse(b.at) || 0));

  function keptOf(entry) {
    const { reading } = entry;
    return { id: entry.id, text: reading.text, unit: entry.unit, mm: entry.mm, look: reading.look, laying: reading.laying, at: entry.at };
  }

  // What stands in the field outlives a phone that drops the page: it comes back at its point.
  const HALF = "fitcheck.half." + data.scope;
  function layBy() {
    const text = field.left();
    try {
      if (current && !waitsFor && text) sessionStorage.setItem(HALF, JSON.stringify({ step: current.id, text }));
      else sessionStorage.removeItem(HALF);
    } catch (none) { /* then it is typed again */ }
  }
  function laidBy() {
    try { return JSON.parse(sessionStorage.getItem(HALF)) || {}; } catch (none) { return {}; }
  }
  window.addEventListener("pagehide", layBy);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") layBy(); });

  // The screen

  function readOf(step) { return step.kept.filter((reading) => reading.look >= look).length; }
  function isDone(step) { return readOf(step) >= (times[step.id] || 1); }

  function ticks() {
    const list = order.map((id, place) => {
      const step = steps.get(id), now = step === current;
      const x = (6 + 268 * place / Math.max(1, order.length - 1)).toFixed(1);
      return `<path class="tk ${now ? "now" : isDone(step) ? "done" : ""}" d="M${x} ${now ? 2 : 7}V18"/>`;
    });
    at("ticks").innerHTML = list.join("");
  }

  function only(name) { ["measure", "end", "panel"].forEach((section) => { at(section).hidden = section !== name; }); }

  function show(step, text, focus) {
    current = step;
    only("measure");
    closeAsk();
    refuse("");
    const number = order.indexOf(step.id) + 1;
    if (!look) where("");
    else if (!number) where(say("only_round_" + look));
    else if (!times[step.id]) where(say("where", { number, count: order.length, round: say("round_" + look) }));
    else {
      const reading = say("reading_of", { number: Math.min(readOf(step) + 1, times[step.id]), count: times[step.id] });
      where(say("where_again", { number, count: order.length, round: say("round_" + look), reading }));
    }
    at("name").textContent = step.title + (step.whose ? " " : "");
    if (step.whose) {
      const whose = document.createElement("span");
      whose.className = "whose";
      whose.textContent = step.whose;
      at("name").append(whose);
    }
    at("how").textContent = step.how;
    at("pic").dataset.lies = step.lies || "none";
    if (step.near) at("near").setAttribute("viewBox", step.near);
    at("full").setAttribute("aria-label", step.label);
    document.querySelectorAll("use.laid").forEach((tape) => tape.setAttribute("href", "#tape-" + step.point));
    field.name(step);
    tab(say("title", { title: step.title, piece: data.piece }));
    field.fill(text || "");
    ticks();
    state();
    if (focus) at("name").focus({ preventScroll: true });
  }

  function where(text) {
    const line = at("where"), piece = line.querySelector(".nb");
    line.textContent = text ? text + " " : "";
    line.append(piece);
  }

  function tab(title) { document.title = say("tab", { title }); }

  function refuse(accepts, read) {
    const line = at("refusal");
    line.textContent = "";
    line.hidden = !accepts;
    at("readout").classList.toggle("refused", Boolean(accepts));
    if (!accepts) { input.removeAttribute("aria-invalid"); return; }
    const bold = document.createElement("b");
    bold.textContent = read === undefined ? say("not_taken")
      : say("not_taken_read", { read: read || say("nothing_read") });
    line.append(bold, " ", ...set(accepts));
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", "refusal");
  }

  function state() {
    const kept = order.filter((id) => isDone(steps.get(id))).length;
    const waiting = Outbox.waiting(data.scope).filter((entry) => !entry.refused).length;
    const trouble = ["shut", "full"].includes(Outbox.trouble) ? say(Outbox.trouble) : "";
    tellPairing();
    let told = "";
    if (waitsFor) told = Outbox.trouble ? say("not_kept_yet", { trouble: say(Outbox.trouble) }) : say("keeping");
    else if (last) {
      const spread = spreadOf(last.step);
      told = spread || say(Outbox.has(last.id) ? "on_this_phone" : "is_kept", { text: last.text });
    } else if (look > 1 && !kept) told = say("lay_anew", { piece: data.piece });
    let count = kept ? say("count_kept", { count: kept }) : "";
    if (waiting && Outbox.durable) {
      count = trouble ? say("count_waiting", { count: waiting, trouble })
        : spreadOf(last && last.step) ? say("count_here", { count: waiting })
          : say("count_on_phone", { count: waiting, all: Math.max(kept, waiting) });
      if (last && !spreadOf(last.step)) told = say("kept", { text: last.text });
    }
    if (!Outbox.durable && !waitsFor) told = last ? say("no_memory_last", { text: last.text }) : say("no_memory");
    at("last").replaceChildren(...set(told));
    at("count").textContent = count;
  }

  // A device that the service knows no more keeps what it has: said above the tape, or above the end.
  function tellPairing() {
    const count = Outbox.waiting(data.scope).filter((entry) => !entry.refused).length + Outbox.leaving(data.scope).length;
    const unpaired = Outbox.trouble === "unpaired" && count > 0;
    at("walk").classList.toggle("unpaired", unpaired);
    at("pair").hidden = !unpaired;
    if (!unpaired) return;
    at("pair-told").textContent = Outbox.durable ? say(count === 1 ? "pair_again_one" : "pair_again_many", { count })
      : say("pair_again_open");
  }

  // Readings of one point beside each other: only after the new one is kept.
  function spreadOf(step) {
    if (!step || step.kept.length < 2) return "";
    const mm = step.kept.map((reading) => reading.mm);
    const apart = WalkReading.bare(Math.max(...mm) - Math.min(...mm), step.kept[step.kept.length - 1].unit, data.parts);
    return say("apart", { readings: step.kept.map((reading) => reading.text).join(", "), apart });
  }

  function polite(...sentences) { at("polite").textContent = sentences.filter(Boolean).join(" "); }

  // Keeping

  function keep() {
    if (waitsFor) { Outbox.send(); return; }
    if (!current || asks) return;
    const entered = field.typed();
    if (entered.refused) { refuse(entered.refused, input.value.trim()); return; }
    const length = WalkReading.read(entered.text, data.unit, signed);
    if (length.refused) { refuse(length.refused, entered.text); return; }
    if (signed && length.mm > 0 && !entered.text.startsWith("+")) {
      refuse(say("which_way"), entered.text);
      return;
    }
    const fine = WalkReading.tooFine(length);
    if (fine) ask(fine, length); else keepUnlessOdd(length);
  }

  function keepUnlessOdd(length) {
    const question = WalkReading.question(withReferences(current), length, current.kept.map((reading) => reading.mm), figures(current), data.rules);
    if (question) { ask(question, length); return; }
    store(length, false);
  }

  // What the other points of the same piece or sweater say: their middle, and the first as it was typed.
  function figures(step) {
    const told = {};
    steps.forEach((other) => {
      if (other.side !== step.side || other === step || !other.kept.length) return;
      const first = other.kept[0];
      told[other.point] = { mm: WalkReading.median(other.kept.map((kept) => kept.mm)), said: WalkReading.asTyped(first) };
    });
    return told;
  }

  // With the sweater on the same table, what was just read of it is what the piece is compared with.
  function withReferences(step) {
    if (!data.garment_shares || step.side !== "piece") return step;
    const references = Object.assign({}, step.check.references);
    steps.forEach((other) => {
      if (other.side !== "garment" || !other.kept.length) return;
      references[other.point] = WalkReading.median(other.kept.map((kept) => kept.mm)) * other.check.per_piece;
    });
    return Object.assign({}, step, { check: Object.assign({}, step.check, { references }) });
  }

  function ask(question, length) {
    asks = { question, length };
    const line = at("ask-odd"), bold = document.createElement("b");
    bold.append(...set(question.read));
    line.replaceChildren(bold, " ", ...set(question.odd));
    at("ask-slip").hidden = !question.slip;
    at("ask-slip").replaceChildren(...set(question.slip || ""));
    at("ask-keep").replaceChildren(...set(say("keep", { read: WalkReading.asTyped(length) })));
    at("ask").hidden = false;
    at("pad").hidden = true;
    if (field.inches) at("eighths").hidden = true;
    at("ask-again").focus({ preventScroll: true });
  }
  function closeAsk() {
    asks = null;
    at("ask").hidden = true;
    at("pad").hidden = false;
    if (field.inches) at("eighths").hidden = false;
  }
  at("ask-slip").addEventListener("click", () => {
    const { question } = asks, meant = WalkReading.read(question.meant, data.unit, signed);
    closeAsk();
    if (question.code === "too_fine") keepUnlessOdd(meant); else store(meant, false);
  });
  at("ask-again").addEventListener("click", () => { closeAsk(); field.fill(""); input.focus({ preventScroll: true }); });
  at("ask-keep").addEventListener("click", () => { 
    const { question, length } = asks;
    closeAsk();
    if (question.code === "too_fine") keepUnlessOdd(length); else store(length, true);
  });

  function store(length, confirmed) {
    const step = current, id = Outbox.newId(), now = new Date().toISOString();
    const round = look || Math.min(3, 1 + Math.max(0, ...step.kept.map((reading) => reading.look)));
    const earlier = step.kept.filter((reading) => reading.look < round).map((reading) => reading.laying || 1);
    const laying = 1 + Math.max(0, ...earlier) + (times[step.id] ? readOf(step) : 0);
    const reading = { id, text: length.text, unit: data.unit, at: now, look: round, laying };
    if (confirmed) reading.confirmed = true;
    if (data.by) reading.by = data.by;
    const entry = { id, url: step.readings + id, place: step.place, reading, at: now, scope: data.scope, step: step.id,
      mm: length.mm, unit: length.unit };
    entry.said = say(step.whose ? "carried_of" : "carried", { read: WalkReading.asTyped(length), point: step.short, whose: step.whose, piece: data.piece });
    if (!Outbox.durable) {
      waitsFor = { entry, step };
      Outbox.keep(entry);
      state();
      return;
    }
    if (!Outbox.keep(entry)) {
      refuse(say("memory_full"), length.text);
      return;
    }
    moveOn(step, entry);
  }

  function moveOn(step, entry) {
    step.kept.push(keptOf(entry));
    skipped.delete(step.id);
    history.push({ step, id: entry.id });
    last = { step, id: entry.id, text: entry.reading.text };
    const next = nextOf(step);
    const apart = spreadOf(step);
    polite(say("spoken_kept", { text: entry.reading.text, point: step.short }), apart ? say("spoken_apart", { apart }) : "",
      next ? say(next.whose ? "spoken_next_of" : "spoken_next", { point: next.short, whose: next.whose }) : say("spoken_last"));
    if (next) show(next, "", true); else end(true);
  }

  function nextOf(step) {
    const place = order.indexOf(step.id);
    const open = (id) => !isDone(steps.get(id)) && !skipped.has(id);
    const id = order.slice(place + 1).find(open) || order.slice(0, place + 1).find(open);
    return id ? steps.get(id) : null;
  }

  function skip() {
    if (waitsFor || asks) return;
    skipped.add(current.id);
    const next = nextOf(current);
    polite(say("spoken_skipped", { point: current.short }), next ? say("spoken_next", { point: next.short }) : "");
    if (next) show(next, "", true); else end(true);
  }

  function undo() {
    if (waitsFor || asks) return;
    const back = history.pop();
    if (!back) { at("last").textContent = say("nothing_to_undo"); return; }
    const kept = back.step.kept.find((reading) => reading.id === back.id);
    Outbox.takeBack(back.id, back.step.readings + back.id + "/set-aside", data.scope, say("reason_taken_back"));
    back.step.kept = back.step.kept.filter((reading) => reading.id !== back.id);
    last = null;
    show(back.step, "", true);
    field.bringBack(kept ? kept.text : "");
    polite(say("taken_back", { text: kept ? kept.text : "", point: back.step.short }));
  }

  // The end of a round

  function end(focus) {
    current = null;
    only("end");
    ticks();
    where(look ? say("only_round_" + look) : "");
    const left = order.map((id) => steps.get(id)).filter((step) => !isDone(step));
    at("end-name").textContent = left.length ? say("left_out", { count: left.length })
      : say(order.length || history.length ? "round_is_read" : "nothing_to_read");
    tab(say("title_at_end", { piece: data.piece }));
    if (focus) at("end-name").focus({ preventScroll: true });
    acts(left, null);
    standing(left);
  }

  function acts(left, next) {
    const line = at("end-acts");
    line.querySelectorAll("button,a:not(.main)").forEach((button) => button.remove());
    const add = (word, act) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "btn";
      button.textContent = word;
      button.addEventListener("click", act);
      line.append(button);
    };
    if (left.length) add(say("read_point", { point: left[0].short }), () => { skipped.clear(); show(left[0], "", true); });
    if (next) {
      add(say("to_read_" + next.look, { count: next.steps.length }), () => {
        look = next.look;
        order = next.steps;
        times = next.times;
        last = null;
        skipped.clear();
        const first = order.map((id) => steps.get(id)).find((step) => step && !isDone(step));
        if (first) show(first, "", true);
      });
    }
    if (history.length) add(say("undo_last"), undo);
  }

  function ended() { return at("end").hidden === false; }

  async function standing(left) {
    const waiting = Outbox.waiting(data.scope).length + Outbox.leaving(data.scope).length;
    // Where nothing had to be read, what was read all the same counts.
    const kept = order.length ? order.filter((id) => isDone(steps.get(id))).length : history.length;
    const all = kept ? say(kept === 1 ? "one_kept" : "many_kept", { count: kept }) : "";
    tellPairing();
    at("end-state").textContent = waiting ? say("some_on_phone", { count: kept, waiting }) : all;
    if (waiting) return;
    const mine = ++asked;
    try {
      const answer = await fetch(data.standing, { cache: "no-store", credentials: "same-origin" });
      if (!answer.ok || mine !== asked || !ended()) return;
      const fresh = await answer.json();
      at("end-said").replaceChildren(...set(fresh.headline));
      const next = fresh.look && fresh.steps.every((id) => steps.has(id)) ? fresh : null;
      acts(left, next);
    } catch (away) {
      at("end-state").textContent = say("away_just_now", { kept: all });
    }
  }

  Outbox.onChange(() => {
    if (waitsFor) {
      const { entry, step } = waitsFor;
      const there = Outbox.waiting(data.scope).find((waiting) => waiting.id === entry.id);
      if (!there) { waitsFor = null; moveOn(step, entry); return; }
      if (there.refused) { waitsFor = null; Outbox.drop(entry.id); refuse(there.refused); return; }
    }
    bringBackRefused();
    if (ended()) standing(order.map((id) => steps.get(id)).filter((step) => !isDone(step)));
    else state();
  });

  // A reading that the service refuses comes back into its field, with the reason, once the field is free.
  function bringBackRefused() {
    const entry = Outbox.waiting(data.scope).find((waiting) => waiting.refused);
    if (!entry || asks || (current && input.value)) return;
    const step = steps.get(entry.step), reason = entry.refused;
    Outbox.drop(entry.id);
    if (!step) return;
    step.kept = step.kept.filter((reading) => reading.id !== entry.id);
    const place = history.findIndex((past) => past.id === entry.id);
    if (place >= 0) history.splice(place, 1);
    last = null;
    show(step, entry.reading.text, true);
    refuse(reason, entry.reading.text);
  }

  // Pad, keys, choices

  function press(key) {
    if (asks || waitsFor || key === "keep") return;
    refuse("");
    if (key === "skip") skip(); else if (key === "undo") undo(); else field.press(key);
  }

  at("pad").addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) press(button.dataset.key);
  });
  at("form").addEventListener("submit", (event) => { event.preventDefault(); keep(); });
  input.addEventListener("input", () => refuse(""));
  document.querySelectorAll("input[name=eighths],input[name=sign]").forEach((radio) => radio.addEventListener("keydown", (event) => {
    if (event.key === "Enter") { event.preventDefault(); keep(); }
  }));
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || asks || at("measure").hidden) return;
    if (event.target.closest("input,button,a,select,textarea")) {
      if (event.target.type !== "radio" || !/^[\d.,]$/.test(event.key)) return;
    }
    if (/^[\d.,/ -]$/.test(event.key) && event.key !== " ") {
      event.preventDefault();
      field.strike(event.key);
    } else if (event.key === "Backspace") { event.preventDefault(); press("rub"); }
    else if (event.key === "Enter") { event.preventDefault(); keep(); }
  });

  function panel(open) {
    at("more").setAttribute("aria-expanded", String(open));
    if (open) { only("panel"); at("close").focus({ preventScroll: true }); }
    else if (current) { only("measure"); at("more").focus({ preventScroll: true }); }
    else { only("end"); at("more").focus({ preventScroll: true }); }
  }
  at("more").addEventListener("click", () => panel(at("panel").hidden));
  at("close").addEventListener("click", () => panel(false));
  at("keyboard").addEventListener("click", () => {
    input.setAttribute("inputmode", field.inches || signed ? "text" : "decimal");
    panel(false);
    input.focus();
  });
  at("left").checked = data.thumb === "left";
  const thumb = () => at("walk").classList.toggle("left-thumb", at("left").checked);
  at("left").addEventListener("change", () => {
    // The same cookie as the setting, so that one choice holds everywhere.
    document.cookie = "thumb=" + (at("left").checked ? "left" : "right") + ";path=/;max-age=31536000;SameSite=Lax";
    thumb();
  });
  at("unit").addEventListener("click", (event) => { event.preventDefault(); if (!asks && !waitsFor) field.changeUnit(); });

  // Begin

  thumb();
  at("more").hidden = false;
  ["plain", "back", "enter"].forEach((id) => { if (at(id)) at(id).hidden = true; });
  at("pad").hidden = false;
  input.setAttribute("inputmode", "none");
  const half = laidBy();
  const start = steps.get(data.start) || steps.get(half.step) || order.map((id) => steps.get(id)).find((step) => !isDone(step));
  if (start) show(start, start.id === half.step ? half.text : "", false); else end(false);
  Outbox.warn(data.scope);
  bringBackRefused();
  Outbox.send();
})();
