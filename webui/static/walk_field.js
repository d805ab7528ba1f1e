"use strict";
// The field of the measuring walk: the figures, the eighths and sixteenths of an inch beside them, which way an overhang
// goes, the decimal mark and the unit. data: what came with the page; its unit follows a change on the spot.
const WalkField = (data) => {
  const at = (id) => document.getElementById(id);
  const input = at("reading"), signed = data.how === "overhang", say = WalkReading.say;
  let mark = data.mark, inches = data.unit === "in", sixteenth = false, broughtBack = false, of = null;

  function part() { // sixteenths
    if (!inches) return 0;
    const eighth = document.querySelector("input[name=eighths]:checked");
    return 2 * Number(eighth ? eighth.value : 0) + (sixteenth ? 1 : 0);
  }
  function setPart(count) {
    if (!inches) return;
    document.querySelector(`input[name=eighths][value="${count >> 1}"]`).checked = true;
    sixteenth = count % 2 === 1;
    showPart();
  }
  function showPart() {
    if (!inches) return;
    const count = part();
    at("part").textContent = count ? WalkReading.mixed(count, 16) : "";
    at("mark").setAttribute("aria-pressed", String(sixteenth));
  }
  function sign() {
    const chosen = document.querySelector("input[name=sign]:checked");
    return chosen ? chosen.value : "";
  }
  function setSign(value) {
    document.querySelectorAll("input[name=sign]").forEach((choice) => { choice.checked = choice.value === value; });
  }

  // Returns {text} or {refused}.
  function typed() {
    let text = input.value.trim();
    const count = part();
    if (count) {
      if (!/^\d{0,4}$/.test(text)) return { refused: say("whole_inches") };
      text = (text + " " + WalkReading.mixed(count, 16)).trim();
    }
    if (!signed) return { text };
    if (sign() === "level") {
      return /[1-9]/.test(text) ? { refused: say("level_means_0") } : { text: "level" };
    }
    if (text && sign() && !/^[-+−–]/.test(text)) text = (sign() === "out" ? "+" : "−") + text;
    return { text };
  }

  // A text back into field, eighths and sign.
  function fill(text) {
    let rest = text;
    setSign("");
    if (signed) {
      if (/^(level|even)$/i.test(rest)) { setSign("level"); rest = ""; }
      else if (/^[-−–]/.test(rest)) { setSign("short"); rest = rest.slice(1).trim(); }
      else if (rest.startsWith("+")) { setSign("out"); rest = rest.slice(1).trim(); }
    }
    setPart(0);
    settle();
    const match = inches && /^(?:(\d+) )?(\d+)\/(2|4|8|16)$/.exec(rest);
    if (match) { setPart(Number(match[2]) * 16 / Number(match[3])); rest = match[1] || ""; }
    input.value = rest;
  }

  // What stands there, readable or not.
  function left() {
    const entered = typed();
    return (entered.refused ? input.value : entered.text).trim();
  }

  // What was taken back stands there to be put right: the first figure or mark takes its place, "rub out" mends it.
  function bringBack(text) {
    fill(text);
    broughtBack = Boolean(text);
    at("readout").classList.toggle("brought-back", broughtBack);
  }
  function settle() {
    broughtBack = false;
    at("readout").classList.remove("brought-back");
  }
  function beginAnew() {
    if (!broughtBack) return;
    const way = sign();
    fill("");
    setSign(way);
  }

  // The unit is changed on the spot; what is typed stays, with the unit that it was typed in behind it.
  function changeUnit() {
    const text = left(), before = data.unit, after = inches ? "cm" : "in", own = " " + after;
    data.unit = data.rules.unit = after;
    inches = after === "in";
    showUnit();
    const labelled = /[\d½⅓⅔¼¾⅛⅜⅝⅞]$/.test(text) ? text + " " + before : text;
    fill(labelled.endsWith(own) ? labelled.slice(0, -own.length) : labelled);
    fetch("/unit", { method: "POST", body: new URLSearchParams({ unit: after, back: "/walk/leftover" }), credentials: "same-origin" })
      .catch(() => {}); // then only this page knows it
  }
  function showUnit() {
    at("walk").classList.toggle("inches", inches);
    at("eighths").hidden = !inches;
    at("unit").textContent = data.unit;
    at("unit").setAttribute("aria-label", say("change_unit", { unit: data.unit, other: inches ? "cm" : "in" }));
    useMark(mark);
    if (of) name(of);
  }
  function name(step) {
    of = step;
    const { title, whose } = step, unit = inches ? say("inches") : data.unit;
    input.setAttribute("aria-label", say(whose ? "field_of" : "field", { title, whose, unit }));
  }

  // The mark follows what this hand types.
  function useMark(chosen) {
    mark = chosen;
    at("mark").textContent = inches ? "1/16" : mark;
    at("mark").classList.toggle("empty", data.unit === "mm");
    if (inches) { at("mark").removeAttribute("aria-label"); return; }
    at("mark").removeAttribute("aria-pressed");
    at("mark").setAttribute("aria-label", say(mark === "," ? "mark_comma" : "mark_point"));
  }

  // A key of the pad, and one of a keyboard that was struck outside the field.
  function press(key) {
    if (/^(\d|mark)$/.test(key)) beginAnew();
    settle();
    if (key === "rub") {
      if (input.value) input.value = input.value.slice(0, -1); else { setPart(0); setSign(""); }
    } else if (key === "mark") {
      if (inches) { sixteenth = !sixteenth; showPart(); }
      else if (!/[.,]$/.test(input.value)) input.value = (input.value || "0") + mark;
    } else if (input.value.length < 12) input.value += key;
  }
  function strike(key) {
    input.focus({ preventScroll: true });
    beginAnew();
    input.value += key;
    input.dispatchEvent(new Event("input"));
  }

  input.addEventListener("input", () => { if (/\d,\d/.test(input.value)) useMark(","); });
  document.querySelectorAll("input[name=eighths]").forEach((radio) => radio.addEventListener("change", () => { sixteenth = false; showPart(); }));
  showUnit();
  return { get inches() { return inches; }, typed, left, fill, bringBack, name, changeUnit, press, strike };
};
