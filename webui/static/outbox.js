"use strict";
// Readings, and taps at the machine, on their way from this phone to the service. Each stands in the phone's memory
// before anything else happens, under a key of its own (so two pages never overwrite one another's), and leaves it only
// on the service's word. Sending one twice is once, because its id was made here.
const Outbox = (() => {
  const READING = "fitcheck.reading.", AWAY = "fitcheck.away.", TAP = "fitcheck.tap.";
  const AGAIN_MS = 10000, PATIENCE_MS = 8000, QUICK_MS = 2000;
  const listeners = [];
  const memory = new Map();
  let sending = false;
  let wanted = false;
  let trouble = "";

  const durable = (() => {
    try {
      window.localStorage.setItem("fitcheck.try", "1");
      window.localStorage.removeItem("fitcheck.try");
      return true;
    } catch (refused) { return false; }
  })();

  function write(key, value) {
    if (!durable) { memory.set(key, value); return true; }
    try { window.localStorage.setItem(key, JSON.stringify(value)); return true; } catch (full) { return false; }
  }
  function update(key, value) {
    if (!memory.has(key)) return write(key, value);
    memory.set(key, value);
    return true;
  }
  function readOne(key) {
    if (memory.has(key) || !durable) return memory.get(key) || null;
    try { return JSON.parse(window.localStorage.getItem(key)); } catch (broken) { return null; }
  }
  function remove(key) {
    memory.delete(key);
    if (durable) window.localStorage.removeItem(key);
  }
  function all(prefix) {
    const keys = new Set([...(durable ? Object.keys(window.localStorage) : []), ...memory.keys()]);
    return [...keys].filter((key) => key.startsWith(prefix)).map(readOne).filter(Boolean)
      .sort((a, b) => (a.at < b.at ? -1 : 1));
  }

  // 128 bits; randomUUID is missing on plain http. A letter first, so that no one takes it for a number.
  function newId() {
    const bytes = window.crypto.getRandomValues(new Uint8Array(16));
    return "w" + Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // entry: {id, url, place, reading, at, scope, step, said}. Returns whether it stands in the phone's memory now.
  function keep(entry) {
    const stands = write(READING + entry.id, { ...entry, tried: 0, line: lineOf(entry, ofReading(entry)) });
    if (stands) send();
    return stands;
  }

  // A tap at the machine: {id, url, at, scope, tap, said}, where tap is what is sent. Returns whether it outlives this
  // page; where the memory is full, the page has it until the service does.
  function keepTap(entry) {
    const sent = { ...entry, tried: 0, line: lineOf(entry, ofTap(entry)) }, stands = durable && write(TAP + entry.id, sent);
    if (!stands) memory.set(TAP + entry.id, sent);
    send();
    return stands;
  }

  // Takes a reading back: never sent, it simply goes; otherwise the service is told to set it aside.
  function takeBack(id, url, scope, reason) {
    const entry = readOne(READING + id);
    if (entry && (!entry.tried || entry.refused)) { remove(READING + id); tell(); return true; }
    const away = { id, url, scope, reason, at: new Date().toISOString() };
    const stands = write(AWAY + id, { ...away, line: lineOf(away, ofAway(away)) });
    if (stands) send();
    return stands;
  }

  // What is sent of each kind.
  const ofReading = (entry) => ({ place: entry.place, reading: entry.reading });
  const ofTap = (entry) => entry.tap;
  const ofAway = (entry) => ({ reason: entry.reason });

  function put(url, method, body) {
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    return fetch(url, {
      method, body: JSON.stringify(body), signal: patience.signal, credentials: "same-origin", cache: "no-store",
      headers: { "Content-Type": "application/json", Accept: "application/json" },
    }).finally(() => clearTimeout(timer));
  }

  const troubleOf = (status) => ({ 401: "unpaired", 403: "shut", 507: "full" })[status] || "away";

  // A refusal is the service's last word about this reading; everything else may come right by itself.
  const isRefusal = (status) => [400, 404, 409, 413, 415, 422].includes(status);

  async function said(answer) {
    try {
      const problem = await answer.json();
      return problem.detail || problem.title || "";
    } catch (noJson) { return ""; }
  }

  async function send() {
    if (sending) { wanted = true; return; }
    sending = true;
    try {
      do {
        wanted = false;
        trouble = "";
        await sendAll();
      } while (wanted);
    } catch (away) {
      trouble = "away";
    } finally {
      sending = false;
      tell();
    }
  }

  // Whether the service answered each of them.
  async function sendEach(kind, body) {
    for (const entry of all(kind)) {
      if (entry.refused) continue;
      // Noted first, in the place that 0 took: from now on the service may have it, whatever becomes of the answer.
      if (!entry.tried) { entry.tried = 1; if (!update(kind + entry.id, entry)) continue; }
      const answer = await put(entry.url, "PUT", body(entry));
      if (answer.ok) remove(kind + entry.id);
      else if (isRefusal(answer.status)) {
        entry.refused = (await said(answer)) || String(answer.status);
        // Where the memory is full the reason is: it is there as long as this page.
        if (!update(kind + entry.id, entry)) memory.set(kind + entry.id, entry);
      } else {
        trouble = troubleOf(answer.status);
        return false;
      }
      tell();
    }
    return true;
  }

  async function sendAll() {
    if (!await sendEach(READING, ofReading)) return;
    if (!await sendEach(TAP, ofTap)) return;
    for (const reading of all(AWAY)) {
      if (readOne(READING + reading.id)) continue;
      const answer = await put(reading.url, "POST", ofAway(reading));
      if (answer.ok || isRefusal(answer.status)) remove(AWAY + reading.id);
      else { trouble = troubleOf(answer.status); return; }
      tell();
    }
  }

  // What waits, as text that the service takes under another address (waiting.js): a line each, its address and body
  // behind what a person reads.
  const lineOf = (entry, body) => [entry.said, entry.url, JSON.stringify(body)].filter(Boolean).join(" ");
  const lines = () => [READING, TAP, AWAY].flatMap(all).map((entry) => entry.line);

  // Asks before a page is left that the phone cannot open again without the service, while something of it waits; what is
  // on its way for the first time is not spoken of.
  function warn(scope) {
    const late = (entry) => entry.scope === scope && !entry.refused && (trouble || Date.now() - Date.parse(entry.at) > QUICK_MS);
    window.addEventListener("beforeunload", (event) => {
      if ([READING, TAP, AWAY].some((kind) => all(kind).some(late))) event.preventDefault();
    });
  }

  function tell() { listeners.forEach((listener) => listener()); }

  window.addEventListener("online", send);
  window.addEventListener("pageshow", send);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") send(); });
  window.setInterval(() => { if ([READING, AWAY, TAP].some((kind) => all(kind).length)) send(); }, AGAIN_MS);

  return {
    durable, newId, keep, keepTap, takeBack, send, lines, warn,
    waiting: (scope) => all(READING).filter((entry) => !scope || entry.scope === scope),
    leaving: (scope) => all(AWAY).filter((entry) => !scope || entry.scope === scope),
    taps: (scope) => all(TAP).filter((entry) => entry.scope === scope),
    dropTap: (id) => { remove(TAP + id); tell(); },
    drop: (id) => { remove(READING + id); tell(); },
    has: (id) => readOne(READING + id) !== null,
    isLeaving: (id) => readOne(AWAY + id) !== null,
    onChange: (listener) => listeners.push(listener),
    get trouble() { return trouble; },
  };
})();
