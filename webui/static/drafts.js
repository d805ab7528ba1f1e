"use strict";
// What is typed in a form stays on this device until the service has taken the form, or it is started empty. It is put
// back after a reload, a dropped tab, and where the unit was switched: a length then keeps the unit that it was typed in.
(function () {
  const BEGIN = "fitcheck.draft.", MOST = 40;
  // Hidden fields that go with what was typed; all others say which form it is.
  const CARRIED = ["form", "revision", "id"], APART = ["returns", ...CARRIED];
  const main = document.getElementById("answer"), units = document.querySelector(".units");
  const lines = document.getElementById("drafts");
  if (!lines) return;

  // The browser may keep nothing, or be full: said once, when something is typed.
  let told = false;
  function stored(act) {
    try { return act(localStorage); } catch (refused) {
      if (told || !lines.dataset.typing) return null;
      told = true;
      say("unkept", "", () => {});
      return null;
    }
  }
  const drafts = () => stored((kept) => Object.keys(kept).filter((key) => key.startsWith(BEGIN))
    .map((key) => JSON.parse(kept.getItem(key))).sort((one, other) => other.time - one.time)) || [];
  const forget = (draft) => stored((kept) => kept.removeItem(BEGIN + draft.carried.form));

  // What the service says that it has taken needs no draft any more.
  const taken = /(?:^|; )taken=([^;]*)/.exec(document.cookie);
  if (taken) {
    drafts().filter((draft) => taken[1].split(".").includes(draft.carried.form)).forEach(forget);
    document.cookie = "taken=; Max-Age=0; Path=/; SameSite=Lax";
  }
  drafts().slice(MOST).forEach(forget);
  if (!main) return;

  const boxed = (field) => /radio|checkbox/.test(field.type);
  const controls = (form) => [...form.elements].filter((field) => field.name && !/hidden|file|submit|button/.test(field.type)
    && field.matches("input, select, textarea"));
  const hidden = (form) => [...form.elements].filter((field) => field.type === "hidden" && !APART.includes(field.name));
  const what = (field) => boxed(field) ? "checked" : "value";
  const nameOf = (field) => field.name + " " + (boxed(field) ? field.value : field.id);
  function begun(field) {
    if (field.options) return ([...field.options].find((option) => option.defaultSelected) || field.options[0] || field).value;
    return boxed(field) ? field.defaultChecked : field.defaultValue;
  }
  const unit = units && units.querySelector("[aria-pressed=true]").value;
  const ONE = "[-−+]?(?:\\d+/\\d+|\\d+(?:[.,]\\d+|\\s*[½⅓⅔¼¾⅛⅜⅝⅞]|[\\s-]\\d+/\\d+)?|[.,]\\d+|[½⅓⅔¼¾⅛⅜⅝⅞])";
  const MANY = new RegExp("^" + ONE + "(?:\\s+" + ONE + ")+$");
  const withUnit = (text, own) => text.split(/[;|]|,\s+/).map((part) => part.trim())
    .flatMap((part) => MANY.test(part) ? part.match(new RegExp(ONE, "g")) : part)
    .map((part) => /\d/.test(part) && !/[a-z"'″′]/i.test(part) ? part + " " + own : part).join("; ");

  function Draft(form) {
    const action = new URL(form.getAttribute("action") || location.pathname, location).pathname;
    const about = hidden(form).map((field) => [field.name, field.value]);
    const of = action + " " + JSON.stringify(about);
    let own = form.elements.namedItem("form");
    if (!own) {
      own = document.createElement("input");
      Object.assign(own, { type: "hidden", name: "form" });
      own.value = [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(36).padStart(2, "0")).join("");
      form.append(own);
    }
    const carried = CARRIED.map((name) => form.elements.namedItem(name)).filter((field) => field && field.type === "hidden");
    const first = carried.map((field) => field.value);
    let waits = 0;

    function save(more) {
      clearTimeout(waits);
      waits = 0;
      const fields = {}, lengths = [];
      controls(form).forEach((field) => {
        if (field[what(field)] === begun(field) && !("typed" in main.dataset)) return;
        fields[nameOf(field)] = field[what(field)];
        if ("length" in field.dataset) lengths.push(nameOf(field));
      });
      const draft = { of, action, unit, time: Date.now(), fields, lengths, at: action + "?" + new URLSearchParams(about) };
      draft.carried = Object.fromEntries(carried.map((field) => [field.name, field.value]));
      stored((kept) => Object.keys(fields).length ? kept.setItem(BEGIN + own.value, JSON.stringify({ ...draft, ...more }))
        : kept.removeItem(BEGIN + own.value));
    }
    // Whether anything on the page became another.
    function putBack(draft) {
      let changed = false;
      controls(form).forEach((field) => {
        let text = draft.fields[nameOf(field)];
        if (text === undefined) return;
        if (draft.lengths.includes(nameOf(field)) && draft.unit !== unit) text = withUnit(text, draft.unit);
        const fold = field.closest("details");
        if (fold && text) fold.open = true;
        if (field[what(field)] === text) return;
        field[what(field)] = text;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        changed = true;
      });
      carried.forEach((field) => { field.value = draft.carried[field.name] || field.value; });
      return changed;
    }
    function empty() {
      forget({ carried: { form: own.value } });
      form.reset();
      carried.forEach((field, at) => { field.value = first[at]; });
      controls(form).forEach((field) => field.dispatchEvent(new Event("input", { bubbles: true })));
      clearTimeout(waits);
      waits = 0;
      forget({ carried: { form: own.value } });
    }
    form.addEventListener("input", function (event) {
      if (event.isTrusted) lines.dataset.typing = "yes";
      if (!waits) waits = setTimeout(save, 200);
    });
    form.addEventListener("submit", function () {
      if (waits) save();
      // The form that keeps what another one asked for takes its draft along.
      drafts().filter((draft) => draft.action === form.dataset.takes).forEach(function (draft) {
        forget(draft);
        draft.carried.form = own.value;
        stored((kept) => kept.setItem(BEGIN + own.value, JSON.stringify(draft)));
      });
    });
    return { form, of, action, id: () => own.value, save, putBack, empty, waiting: () => waits };
  }

  function say(name, time, act) {
    const line = lines.content.querySelector("." + name).cloneNode(true), text = line.querySelector("p");
    text.textContent = text.textContent.replace("{time}", time);
    line.querySelectorAll("button").forEach((button) => button.addEventListener("click", () => { line.remove(); act(); }));
    main.prepend(line);
  }
  function clock(time) {
    const at = new Date(time), day = at.toDateString() === new Date().toDateString() ? {} : { day: "numeric", month: "short" };
    return at.toLocaleString("en-GB", { ...day, hour: "2-digit", minute: "2-digit" });
  }

  // Once every script of the page listens.
  let here = [];
  addEventListener("DOMContentLoaded", function () {
    here = [...main.querySelectorAll("form:not(.finder, .both, [data-put])")].filter((form) => controls(form).length).map(Draft);
    const every = drafts(), back = [];
    here.forEach(function (one) {
      const given = "typed" in main.dataset || (one.form.method === "get" && location.search !== "");
      // Of a form that was opened with its draft's fields, as far as the service draws them.
      const opened = (other) => other.action === one.action && other.at === location.pathname + location.search;
      const draft = every.find((other) => (other.of === one.of || opened(other)) && (!given || other.switched));
      if (draft) {
        const shown = one.putBack(draft);
        if (shown && !draft.switched) back.push([one, draft.time]);
        one.save();
      } else if (given) {
        if (every.some((other) => other.of === one.of && other.carried.form === one.id())) one.save();
      } else if ("layout" in one.form.dataset && !location.search) {
        // The same form with other fields in it, as a choice in it left them.
        const other = every.find((kept) => kept.action === one.action);
        if (other) location.replace(other.at);
      }
    });
    if (back.length) say("back", clock(Math.max(...back.map(([, time]) => time))), () => back.forEach(([one]) => one.empty()));
  });
  const flush = () => here.filter((one) => one.waiting()).forEach((one) => one.save());
  addEventListener("pagehide", flush);
  document.addEventListener("visibilitychange", flush);
  if (units) units.addEventListener("submit", () => here.forEach((one) => one.save({ switched: true })));
})();
