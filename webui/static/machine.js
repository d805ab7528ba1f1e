"use strict";
// A sheet at the machine, with JavaScript: all acts come with the page, each tap stands in this phone's memory before
// the screen moves, and is sent when it can be. Without it the page is one form per act.
(() => {
  const data = JSON.parse(document.getElementById("machine-data").textContent);
  const at = (id) => document.getElementById(id);
  const { acts } = data;
  const TWICE_MS = 400, ASK_MS = 10000, LONG_MS = 60000;
  const SVG = "http://www.w3.org/2000/svg";
  const DEVICE = "fitcheck.device", AWAKE = "fitcheck.awake";
  const CARRIAGE = { left: "M4 2H32V20H4Z", right: "M256 2H284V20H256Z" };
  const page = at("machine"), now = at("now"), top = at("top");
  const say = (key, values) => Object.entries(values || {}).reduce((text, [name, value]) => text.replace(`{${name}}`, value), data.say[key]);
  let here = 0, state = "act", elsewhere = null, waitsFor = null, refused = "", ended = false, awakeAsked = false;

  // What is done: the latest tap of each line stands, those that wait on this phone among them.

  const latest = new Map(Object.entries(data.latest).map(([line, [done, time, device]]) => [Number(line), { done, time: Date.parse(time), device }]));
  const device = (() => {
    const made = Outbox.newId();
    try {
      const kept = window.localStorage.getItem(DEVICE);
      if (kept) return kept;
      window.localStorage.setItem(DEVICE, made);
    } catch (none) { /* then only this page knows it */ }
    return made;
  })();

  function merge(line, tap) {
    const stands = latest.get(line);
    if (!stands || tap.time >= stands.time) latest.set(line, tap);
  }
  function mergeWaiting() {
    Outbox.taps(data.scope).filter((entry) => !entry.refused).forEach((entry) => {
      merge(entry.tap.line, { done: entry.tap.done, time: Date.parse(entry.tap.at), device: entry.tap.device });
    });
  }
  function placeByTaps() {
    return Math.max(-1, ...[...latest].filter(([, tap]) => tap.done).map(([line]) => line)) + 1;
  }

  // Returns whether it stands in the phone's memory.
  function tap(line, done) {
    const stands = latest.get(line);
    const time = Math.max(Date.now(), stands ? stands.time + 1 : 0, ...Outbox.taps(data.scope).map((entry) => Date.parse(entry.tap.at) + 1));
    const id = Outbox.newId(), when = new Date(time).toISOString();
    const sent = { line, done, counter: acts[line].shows || 0, at: when, device };
    const said = say(done ? "carried" : "carried_back", { title: acts[line].title });
    const kept = Outbox.keepTap({ id, url: data.taps + id, at: when, scope: data.scope, tap: sent, said });
    latest.set(line, { done, time, device });
    return kept ? "" : id;
  }

  // The screen

  function make(tag, className, text) {
    const element = document.createElement(tag);
    if (className) element.className = className;
    if (text) element.textContent = text;
    return element;
  }
  function path(className, d) {
    const line = document.createElementNS(SVG, "path");
    line.setAttribute("class", className);
    line.setAttribute("d", d);
    return line;
  }
  function svg(className, box, parts) {
    const drawn = document.createElementNS(SVG, "svg");
    if (className) drawn.setAttribute("class", className);
    drawn.setAttribute("viewBox", box);
    drawn.setAttribute("preserveAspectRatio", "none");
    drawn.setAttribute("aria-hidden", "true");
    drawn.append(...parts);
    return drawn;
  }

  const strip = at("strip");
  const foot = make("form", "go"), button = make("button");
  button.id = "done";
  foot.append(button);
  page.querySelector(".go").replaceWith(foot);

  function label(main, span, small) {
    button.replaceChildren(make("b", "", main), " ", make("span", "", span), " ", make("small", "", small));
  }
  const links = { back: data.words.back, shows: data.words.shows, sheet: data.words.sheet };
  function topLine(parts) {
    top.replaceChildren(...parts.map(([word, act]) => {
      const link = make(typeof act === "string" ? "a" : "button", "", word);
      if (typeof act === "string") link.href = act;
      else { link.type = "button"; link.addEventListener("click", act); }
      return link;
    }));
  }
  const backOnce = once(back);
  function usualTop(withCounter) {
    topLine([[links.back, backOnce], ...(withCounter ? [[links.shows, () => openJump()]] : []), [links.sheet, data.sheet]]);
  }

  function showAct() {
    const act = acts[here], next = acts[here + 1];
    const heading = make("h1");
    heading.append(make("span", "stands", act.stands), svg("bed", "0 0 288 24", [
      path("b-line", "M4 18.5H284"), path("b-mid", "M144 12V23"), path("b-work", act.bar), path("b-car", CARRIAGE[act.side] || ""),
    ]), make("span", "figure", act.figure), " ", make("span", "act-b", act.act));
    const lines = [strip, heading];
    if (act.times) {
      const times = make("p", "times");
      times.append(make("span", "", act.times), ticks(act));
      lines.push(times);
    }
    lines.push(make("p", "after", act.after), ...act.notes.map((note) => make("p", "more", note)));
    now.className = "now";
    now.classList.toggle("R", act.side === "right");
    now.replaceChildren(...lines);
    usualTop(true);
    label(data.words.done, next ? next.go : data.words.last, next ? next.there : "");
    document.title = say("title", { title: act.title });
  }
  function ticks(act) {
    const x = (number) => (6 + 276 * (number - 1) / Math.max(1, act.of - 1)).toFixed(1);
    return svg("", "0 0 288 18", Array.from({ length: act.of }, (_, place) => {
      const number = place + 1, inHand = number === act.time, tick = path("tk", ["M", x(number), ",", inHand ? 1 : 4, "V17"].join(""));
      if (number <= act.time) tick.classList.add(inHand ? "now" : "done");
      return tick;
    }));
  }

  function showHalf() {
    const { half, there } = acts[here];
    const heading = make("h1");
    heading.append(make("span", "end-h", half.head));
    now.className = "now";
    now.replaceChildren(strip, heading, ...half.told.map((sentence) => make("p", "after", sentence)), make("p", "more", data.words.stop));
    usualTop(true);
    label(data.words.next_part, half.next, there);
    document.title = say("title", { title: half.head });
  }

  function showFinished() {
    const heading = make("h1");
    heading.append(make("span", "end-h", data.finished.head));
    now.className = "now";
    now.replaceChildren(strip, heading, make("p", "after", data.finished.told));
    usualTop(false);
    label(data.words.to_scales, "", "");
    document.title = say("title", { title: data.tab });
  }

  function show() {
    if (state === "jump") return;
    if (here >= acts.length) showFinished();
    else if (state === "half") showHalf();
    else showAct();
    tellStrip();
  }
  function speak() {
    at("polite").textContent = here >= acts.length ? data.finished.head : state === "half" ? acts[here].half.head : acts[here].spoken;
  }
  function go(line) {
    here = line;
    state = line < acts.length && acts[line].half ? "half" : "act";
    elsewhere = null;
    show();
    speak();
    window.scrollTo(0, 0);
  }

  // One line above the act: what matters most.

  function tellStrip() {
    const waiting = Outbox.taps(data.scope);
    let told = null;
    if (ended) told = ["ended", "ended_told", {}, "ended_go", data.sheet];
    else if (refused) told = ["refused", refused];
    else if (elsewhere !== null) {
      const act = acts[elsewhere];
      const key = !act ? "elsewhere_end" : act.figure ? "elsewhere_row" : "elsewhere_act";
      told = ["elsewhere", key, { row: act ? act.figure : "" }, "elsewhere_go", () => { mergeWaiting(); go(elsewhere); }];
    } else if (waiting.length && Outbox.trouble === "unpaired") {
      told = ["unpaired", waiting.length === 1 ? "unpaired_one" : "unpaired_many", { count: waiting.length }, "unpaired_go", data.pair];
    } else if (waitsFor) told = ["no_memory", "no_memory_told"];
    else if (waiting.length && Outbox.trouble) {
      const long = Date.now() - Date.parse(waiting[0].at) > LONG_MS;
      told = long ? ["unkept", "unkept_told", {}, "unkept_go", "#waiting"] : ["unkept", "unkept_told"];
    }
    else if (data.older) told = null;
    else if (awakeAsked) told = ["awake", "awake_told"];
    strip.hidden = !told && !data.older;
    strip.replaceChildren();
    if (strip.hidden) return;
    const line = make("p"), said = make("span");
    line.append(said);
    if (!told) {
      const link = make("a", "", data.older.link);
      link.href = data.older.to;
      said.append(make("b", "", data.older.head), " ", data.older.told);
      line.append(" ", link);
    } else {
      const [head, text, values, word, to] = told;
      said.append(make("b", "", say(head)), " ", text === refused && refused ? refused : say(text, values));
      if (word) {
        const link = make(typeof to === "string" ? "a" : "button", "", say(word));
        if (to === data.pair) link.target = "_blank"; // this page stays as it is
        if (typeof to === "string") link.href = to;
        else { link.type = "button"; link.addEventListener("click", to); }
        line.append(" ", link);
      }
    }
    strip.append(line);
  }

  // Done and back

  // A knuckle or a wet finger that taps twice at once has tapped once.
  function once(act) {
    let last = -TWICE_MS;
    return (event) => {
      if (event.timeStamp - last < TWICE_MS) return;
      last = event.timeStamp;
      act();
    };
  }
  function done() {
    if (here >= acts.length) { window.location.assign(data.scales); return; }
    if (state === "half") { state = "act"; show(); speak(); return; }
    if (state === "jump") { jumped(); return; }
    if (waitsFor || ended) return;
    move([[here, true]], here + 1);
  }
  function back() {
    if (waitsFor || ended || here === 0) return;
    move([[here - 1, false]], here - 1);
  }
  // Each tap stands in the memory first; where there is none, the service has it first.
  function move(taps, to) {
    awakeAsked = false;
    refused = "";
    const unsafe = taps.map(([line, isDone]) => tap(line, isDone)).filter(Boolean);
    if (!unsafe.length) { state = "act"; go(to); return; }
    waitsFor = { ids: unsafe, to };
    tellStrip();
  }

  button.addEventListener("keydown", (event) => { if (event.repeat) event.preventDefault(); });
  const doneOnce = once(done);
  foot.addEventListener("submit", (event) => {
    event.preventDefault();
    doneOnce(event);
  });

  // Another row

  let target = null;
  function openJump() {
    state = "jump";
    target = null;
    const form = make("form", "jump"), heading = make("h1"), name = make("label", "", data.words.counter), input = make("input");
    const told = make("div");
    told.setAttribute("role", "status");
    name.htmlFor = "row";
    input.id = "row";
    input.inputMode = "numeric";
    input.autocomplete = "off";
    input.maxLength = 5;
    heading.append(name);
    form.append(heading, input, told);
    form.addEventListener("submit", (event) => { event.preventDefault(); input.blur(); });
    input.addEventListener("input", () => tellBetween(input, told));
    now.className = "now";
    now.replaceChildren(form);
    const { figure } = acts[here];
    topLine([[figure ? say("stay", { row: figure }) : say("stay_here"), closeJump], [links.sheet, data.sheet]]);
    label(data.words.look, data.words.between, "");
    document.title = say("title", { title: data.words.counter });
    input.focus();
  }
  function closeJump() {
    state = "act";
    show();
    button.focus({ preventScroll: true });
  }
  function tellBetween(input, told) {
    const typed = input.value.trim();
    target = null;
    input.removeAttribute("aria-invalid");
    told.replaceChildren();
    label(data.words.look, data.words.between, "");
    if (!typed) return;
    const refuse = (text) => { input.setAttribute("aria-invalid", "true"); told.append(make("p", "refusal", text)); };
    if (!/^\d{1,5}$/.test(typed)) { refuse(say("whole_number")); return; }
    const stretch = acts.map((act, line) => line).filter((line) => acts[line].stretch === acts[here].stretch);
    const to = stretch.find((line) => acts[line].shows === null || acts[line].shows >= Number(typed));
    if (to === undefined) { refuse(say("beyond", { last: Math.max(...stretch.map((line) => acts[line].shows || 0)) })); return; }
    target = to;
    const first = Math.min(here, to), last = Math.max(here, to), count = last - first, forward = to > here;
    const lies = !count ? "nothing_between" : (forward ? "up_to_" : "back_to_") + (count === 1 ? "one" : "many");
    const where = acts[here].figure ? say("here_is", { row: acts[here].figure }) + " " : "";
    told.append(make("p", "more", where + say(lies, { counter: Number(typed), count })));
    const runs = [];
    for (let line = first; line < last; line += 1) {
      const run = runs[runs.length - 1];
      if (run && run[0].between === acts[line].between) run.push(acts[line]); else runs.push([acts[line]]);
    }
    const listed = runs.slice(0, data.most);
    listed.forEach((run) => {
      const line = make("p", "between");
      line.append(make("b", "", run.filter((act) => act.shows !== null).map((act) => act.shows).join(", ")), " ", run[0].between);
      told.append(line);
    });
    const left = count - listed.reduce((sum, run) => sum + run.length, 0);
    if (left) told.append(make("p", "between", say("and_more", { count: left })));
    if (count && to) told.append(make("p", "after", say(forward ? "were_done" : "were_not_done", { bed: acts[to - 1].bed })));
    const row = acts[to].shows;
    label(say(!count ? "same_act" : forward ? "all_done" : "not_done"), row === null ? say("go_to_rib") : say("go_to_row", { row }), "");
  }
  function jumped() {
    if (target === null) { at("row").focus(); return; }
    const to = target, taps = [];
    for (let line = here; line < to; line += 1) taps.push([line, true]);
    [...latest].filter(([line, stands]) => stands.done && line >= to).map(([line]) => line).sort((a, b) => b - a)
      .forEach((line) => taps.push([line, false]));
    state = "act";
    move(taps, to);
  }

  // The service, and other devices

  Outbox.onChange(() => {
    const waiting = Outbox.taps(data.scope);
    const bad = waiting.find((entry) => entry.refused);
    if (bad) {
      refused = bad.refused;
      waiting.filter((entry) => entry.refused).forEach((entry) => Outbox.dropTap(entry.id));
    }
    if (waitsFor && !Outbox.taps(data.scope).some((entry) => waitsFor.ids.includes(entry.id))) {
      const { to } = waitsFor;
      waitsFor = null;
      if (!bad) { go(to); return; }
    }
    tellStrip();
  });

  // What was tapped elsewhere is said; this screen does not jump.
  async function ask() {
    if (document.visibilityState !== "visible") return;
    try {
      const answer = await fetch(data.progress, { cache: "no-store", credentials: "same-origin" });
      if (!answer.ok) return;
      const told = await answer.json();
      ended = told.ended;
      told.latest.forEach((line) => merge(line.line, { done: line.done, time: Date.parse(line.at), device: line.device }));
      mergeWaiting();
      const place = placeByTaps(), newest = told.latest.reduce((last, line) => (!last || line.at > last.at ? line : last), null);
      const other = newest && newest.device !== device && place !== here;
      elsewhere = other ? place : null;
      tellStrip();
    } catch (away) { /* asked again in a while */ }
  }
  window.setInterval(ask, ASK_MS);
  document.addEventListener("visibilitychange", ask);

  // The screen stays on where a browser can do that; where it cannot, or will not, that is said once.

  function sayAwake() {
    try {
      awakeAsked = !window.localStorage.getItem(AWAKE);
      window.localStorage.setItem(AWAKE, "said");
    } catch (none) { awakeAsked = true; }
    tellStrip();
  }
  async function stayAwake() {
    if (document.visibilityState !== "visible") return;
    try { await navigator.wakeLock.request("screen"); } catch (refusedNow) { sayAwake(); }
  }
  if ("wakeLock" in navigator) {
    stayAwake();
    document.addEventListener("visibilitychange", stayAwake);
  } else sayAwake();

  // Begin

  mergeWaiting();
  here = placeByTaps();
  state = here < acts.length && acts[here].half ? "half" : "act";
  show();
  button.focus({ preventScroll: true });
  Outbox.warn(data.scope);
  Outbox.send();
})();
