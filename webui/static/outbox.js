"use strict";
// Readings, and taps at the machine, on their way from this phone to the service. Each stands in the phone's memory before anything else
// happens, under a key of its own (so two pages never overwrite one another's), and leaves it only on the
// service's word. Sending one twice is once, because its id was made here.
const Outbox = (() => {
  const READING = "fitcheck.reading.", AWAY = "fitcheck.away.", TAP = "fitcheck.tap.";
  const AGAIN_MS = 10000, PATIENCE_MS = 8000;
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
  function readOne(key) {
    if (!durable) return memory.get(key) || null;
    try { return JSON.parse(window.localStorage.getItem(key)); } catch (broken) { return null; }
  }
  function remove(key) { if (durable) window.localStorage.removeItem(key); else memory.delete(key); }
  function all(prefix) {
    const keys = durable ? Object.keys(window.localStorage) : Array.from(memory.keys());
    return keys.filter((key) => key.startsWith(prefix)).map(readOne).filter(Boolean)
      .sort((a, b) => (a.at < b.at ? -1 : 1));
  }

  // 128 bits; randomUUID is missing on plain http. A letter first, so that no one takes it for a number.
  function newId() {
    const bytes = window.crypto.getRandomValues(new Uint8Array(16));
    return "w" + Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  // entry: {id, url, place, reading, at, scope, step}. Returns whether it stands in the phone's memory now.
  function keep(entry) {
    const stands = write(READING + entry.id, entry);
    if (stands) send();
    return stands;
  }

  // A tap at the machine: {id, url, at, scope, tap}, where tap is what is sent. The same, of a memory of its own.
  function keepTap(entry) {
    const stands = write(TAP + entry.id, entry);
    if (stands) send();
    return stands;
  }

  // Takes a reading back: never sent, it simply goes; otherwise the service is told to set it aside.
  function takeBack(id, url, scope, reason) {
    const entry = readOne(READING + id);
    if (entry && (!entry.tried || entry.refused)) { remove(READING + id); tell(); return true; }
    const stands = write(AWAY + id, { id, url, scope, reason, at: new Date().toISOString() });
    if (stands) send();
    return stands;
  }

  function put(url, method, body) {
    const patience = new AbortController();
    const timer = setTimeout(() => patience.abort(), PATIENCE_MS);
    return fetch(url, {
      method, body: JSON.stringify(body), signal: patience.signal, credentials: "same-origin", cache: "no-store",
      headers: { "Content-Type": "application/json", Accept: "application/json" },
    }).finally(() => clearTimeout(timer));
  }

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
      // Noted first: from now on the service may have it, whatever becomes of the answer.
      if (!entry.tried) { entry.tried = true; if (!write(kind + entry.id, entry)) continue; }
      const answer = await put(entry.url, "PUT", body(entry));
      if (answer.ok) remove(kind + entry.id);
      else if (isRefusal(answer.status)) {
        entry.refused = (await said(answer)) || String(answer.status);
        write(kind + entry.id, entry);
      } else {
        trouble = answer.status === 401 || answer.status === 403 ? "unpaired" : answer.status === 507 ? "full" : "away";
        return false;
      }
      tell();
    }
    return true;
  }

  async function sendAll() {
    if (!await sendEach(READING, (entry) => ({ place: entry.place, reading: entry.reading }))) return;
    if (!await sendEach(TAP, (entry) => entry.tap)) return;
    for (const reading of all(AWAY)) {
      if (readOne(READING + reading.id)) continue;
      const answer = await put(reading.url, "POST", { reason: reading.reason });
      if (answer.ok || isRefusal(answer.status)) remove(AWAY + reading.id);
      else { trouble = "away"; return; }
      tell();
    }
  }

  function tell() { listeners.forEach((listener) => listener()); }

  window.addEventListener("online", send);
  window.addEventListener("pageshow", send);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") send(); });
  window.setInterval(() => { if ([READING, AWAY, TAP].some((kind) => all(kind).length)) send(); }, AGAIN_MS);

  return {
    durable, newId, keep, keepTap, takeBack, send,
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
