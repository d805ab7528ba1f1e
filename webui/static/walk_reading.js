"use strict";
// What was typed, as a length, and whether it is unlikely: what a single reading needs, so that the phone can ask
// without the service. Grammar, sentences and limits come with the page (walk/steps.py, fitcheck/words/phone.py); the
// service reads and asks again, and tests/browser/test_walk_reading.py holds the two together.
const WalkReading = (() => {
  const { say: SAY, tape: TAPE } = JSON.parse(document.getElementById("walk-data").textContent);
  const MM = TAPE.units, NAMES = new Map(Object.entries(TAPE.names)), whole = (pattern) => new RegExp(`^(?:${pattern})$`);
  const ONE = whole(TAPE.one_length), MARK_FOR_SPACE = whole(TAPE.mark_for_space), NUMBER = new RegExp("^" + TAPE.number);
  // Whole values are filled into sentences.
  const say = (key, values) => SAY[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);
  const plain = (text) => Array.from(text, (one) => TAPE.characters[one] || one).join("").trim().toLowerCase();

  // Returns {mm, unit, text, number} or {refused}. number: the typed figures without their unit.
  function read(text, unit, signed) {
    const typed = text.trim();
    const refuse = (accepts) => ({ refused: accepts });
    if (!typed) return refuse(say("nothing_typed"));
    if (typed.length > TAPE.longest) return refuse(say("example"));
    const one = plain(typed);
    if (signed && (one === "level" || one === "even")) return { mm: 0, step: unit === "in" ? MM.in / 8 : 1, unit, text: typed, number: "" };
    const match = ONE.exec(one);
    if (!match) {
      const marked = MARK_FOR_SPACE.exec(one);
      if (marked && spaceMeant(marked)) return refuse(say("space_before_fraction", { meant: spaceMeant(marked) }));
      if ((one.match(/[.,]/g) || []).length > 1) return refuse(say("one_mark", twoMarks(one)));
      return refuse(say("example"));
    }
    const [, sign, before, decimals, mixed, above, below, figures, word] = match;
    if (sign && !signed) {
      return refuse(say(sign === "-" ? "no_minus" : "no_plus", { meant: typed.slice(1).trim() }));
    }
    let value;
    if (decimals !== undefined) value = Number(before + "." + decimals);
    else if (figures !== undefined) value = Number(figures);
    else {
      const parts = Number(below), count = Number(above);
      if (!TAPE.parts.includes(parts)) return refuse(say("parts"));
      if (count >= parts) {
        const meant = Number(mixed || 0) + Math.floor(count / parts), rest = count % parts;
        return refuse(say("over_whole", { meant: meant + (rest ? " " + rest + "/" + parts : "") }));
      }
      value = Number(mixed || 0) + count / parts;
    }
    const named = word === undefined ? unit : NAMES.get(word);
    if (!named) return refuse(say("units"));
    const mm = value * MM[named] * (sign === "-" ? -1 : 1);
    if (mm === 0 && !signed) return refuse(say("more_than_nothing"));
    if (Math.abs(mm) > TAPE.longest_mm) return refuse(say("at_most"));
    const step = MM[named] * (decimals !== undefined ? 10 ** -decimals.length : below ? 1 / Number(below) : 1);
    return { mm, step, unit: named, text: typed, number: (NUMBER.exec(typed) || [""])[0].trim() };
  }

  // "16.1/2" was meant to be 16 1/2.
  function spaceMeant([, before, above, below, word]) {
    const fits = TAPE.parts.includes(Number(below)) && Number(above) > 0 && Number(above) < Number(below);
    if (!fits || (word && !NAMES.has(word))) return "";
    return before + " " + Number(above) + "/" + Number(below) + (/^[a-z]/.test(word) ? " " : "") + word;
  }

  function twoMarks(one) {
    const parts = one.replace(/[^\d.,]/g, "").split(/[.,]/);
    return { first: parts[0] + "." + parts[1], second: parts[0] + "," + parts[1] };
  }

  function bare(mm, unit, parts = 8) {
    const [step, places] = unit === "in" ? [MM.in / parts, 0] : TAPE.written_to[unit];
    const count = Math.floor(Math.abs(mm) / step + 0.5 + 1e-9);
    if (count === 0) return "0";
    return (mm < 0 ? "−" : "") + (unit === "in" ? mixed(count, parts) : (count / Math.pow(10, places)).toFixed(places));
  }

  function mixed(count, parts) {
    const whole = Math.floor(count / parts);
    let rest = count % parts, below = parts;
    while (rest && rest % 2 === 0) { rest /= 2; below /= 2; }
    return rest ? (whole ? whole + " " : "") + rest + "/" + below : String(whole);
  }

  const written = (mm, unit) => bare(mm, unit) + " " + unit;
  const asTyped = (length) => (/[\d½⅓⅔¼¾⅛⅜⅝⅞]$/.test(length.text) ? length.text + " " + length.unit : length.text);

  function median(list) {
    const sorted = list.slice().sort((a, b) => a - b), half = sorted.length >> 1;
    return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  }

  function retyped(length, unit, mm) {
    if (!length.number) return "";
    const meant = length.number + " " + unit, found = read(meant, unit, true);
    return !found.refused && Math.abs(found.mm - mm) <= 1e-9 * Math.abs(mm) ? meant : "";
  }

  function slips(length, flat) {
    const { mm, unit } = length, found = [];
    (TAPE.taken_for[unit] || []).forEach((other) => {
      const as = mm / MM[unit] * MM[other], meant = retyped(length, other, as);
      if (!meant) return;
      const name = TAPE.slips[other];
      found.push({ code: name, words: say("was_" + name), mm: as, meant,
        because: say("as_" + name, { length: written(as, unit === "in" ? "in" : "cm") }) });
    });
    if (flat) {
      const half = written(mm / 2, unit);
      found.push({ code: "round_measure", words: say("was_round", { half }), mm: mm / 2, meant: half, because: "" });
    }
    // Two or three bare figures in inches may be inches and eighths: 84 is 8 4/8.
    const eighths = unit === "in" ? /^(\d{1,2})([1-7])(?: in)?$/.exec(length.text) : null;
    if (eighths) {
      const as = (Number(eighths[1]) + Number(eighths[2]) / 8) * MM.in, meant = written(as, "in");
      found.splice(1, 0, { code: "eighths", words: meant, mm: as, meant, because: say("as_eighths", { meant }) });
    }
    (eighths ? [10] : [0.1, 10]).forEach((factor) => {
      const ten = written(mm * factor, unit);
      found.push({ code: "ten_times", words: ten, mm: mm * factor, meant: ten, because: "" });
    });
    return found;
  }

  function likeliest(list, wanted, expected, near) {
    const goal = wanted === null ? expected : wanted;
    if (goal === null) return list[0] || null;
    let best = null;
    list.forEach((one) => {
      if (!best || Math.abs(Math.log(one.mm / goal)) < Math.abs(Math.log(best.mm / goal))) best = one;
    });
    if (!best || (wanted !== null && Math.abs(Math.log(best.mm / wanted)) > Math.log(near))) return null;
    return best;
  }

  function asked(length, name, slip, reason) {
    const read_ = asTyped(length);
    const odd = slip.code === "round_measure" ? say("twice_the_half")
      : [reason, slip.because].filter(Boolean).join(" ");
    return { code: slip.code, read: say("read_at", { read: read_, name }), odd, slip: slip.words, meant: slip.meant };
  }

  // What the other points make of this one: those read in the same set, else the reference. [mm, reason] or null.
  function expectedOf(step, figures, rules) {
    const share = rules.proportions[step.point];
    if (!share) return null;
    const others = [];
    Object.keys(rules.proportions).forEach((other) => {
      if (other === step.point) return;
      const read_ = figures[other], mm = read_ ? read_.mm : step.check.references[other];
      if (mm) others.push([share / rules.proportions[other] * mm, other, read_]);
    });
    if (!others.length) return null;
    const goal = median(others.map((one) => one[0]));
    let nearest = others[0];
    others.forEach((one) => {
      if (Math.abs(Math.log(one[0] / goal)) < Math.abs(Math.log(nearest[0] / goal))) nearest = one;
    });
    const said = nearest[2] ? nearest[2].said : written(step.check.references[nearest[1]], rules.unit);
    return [goal, say("neighbour", { name: rules.names[nearest[1]], said })];
  }

  // Decimals that no tape tells, as a question; null where there are none.
  function tooFine(length) {
    if (!(length.step < TAPE.finest[length.unit] * (1 - 1e-9))) return null;
    const meant = written(length.mm, length.unit);
    return { code: "too_fine", read: say("read", { read: asTyped(length) }), odd: say("too_fine"), slip: meant, meant };
  }

  // length: from read(); others: {mm} of the step's other readings; figures: point -> {mm, said} of the same set.
  // Returns null or {code, read, odd, slip, meant}; read and odd are to be said, slip is a button and meant what it types.
  function question(step, length, others, figures, rules) {
    const check = step.check, name = check.name;
    if (check.overhang) return overhang(step, length, others, rules);
    const reference = check.references[step.point] || null;
    const expected = check.proportions ? expectedOf(step, figures, rules) : null;
    const inRange = (mm) => check.low <= mm && mm <= check.high;
    if (!inRange(length.mm)) {
      const forRange = expectedOf(step, figures, rules);
      const slip = likeliest(slips(length, check.flat).filter((one) => inRange(one.mm)), reference,
        forRange ? forRange[0] : null, rules.near);
      if (slip) return asked(length, name, slip, "");
      const unit = length.unit === "m" ? "cm" : length.unit;
      return { code: "out_of_range", read: say("read_at", { read: asTyped(length), name }),
        odd: say("mostly", { low: written(check.low, unit), high: written(check.high, unit) }), slip: "", meant: "" };
    }
    const compared = [];
    if (others.length) compared.push([median(others), rules.inch, say("others_say")]);
    if (reference) compared.push([reference, rules.inch, check.source]);
    else if (expected) compared.push([expected[0], rules.inch_by_proportion, expected[1]]);
    for (const [mm, inch, why] of compared) {
      const ratio = length.mm / mm;
      const code = inch[0] <= ratio && ratio <= inch[1] ? "inches"
        : check.flat && rules.round[0] <= ratio && ratio <= rules.round[1] ? "round_measure" : "";
      const slip = code && slips(length, check.flat).find((one) => one.code === code && inRange(one.mm));
      if (slip) return asked(length, name, slip, why);
    }
    return far(length, others, false, rules);
  }

  function overhang(step, length, others, rules) {
    const largest = step.check.overhang[others.length ? 1 : 0];
    if (Math.abs(length.mm) > largest) {
      const tenth = length.mm / 10, slip = Math.abs(tenth) <= largest;
      const meant = slip ? written(tenth, length.unit).replace(/^(?=\d)/, "+") : "";
      return { code: "large_overhang", read: say("overhang_at", { read: asTyped(length), name: step.check.name }),
        odd: say("far_off"), slip: meant, meant };
    }
    return far(length, others, true, rules);
  }

  function far(length, others, isOverhang, rules) {
    if (!others.length) return null;
    const every = others.concat([length.mm]), middle = median(every);
    const hand = isOverhang ? rules.overhang_hand : rules.tape_hand;
    const one = Math.hypot(hand.reading_mm, hand.reading_share * middle, hand.laying_mm, hand.laying_share * middle, length.step / Math.sqrt(12));
    const critical = rules.critical[Math.min(every.length, rules.critical.length + 1) - 2];
    if (Math.max(...every) - Math.min(...every) <= critical * one) return null;
    const away = Math.abs(length.mm - middle);
    if (others.some((mm) => Math.abs(mm - middle) > away + 1e-6)) return null;
    const apart = written(Math.abs(length.mm - median(others)), length.unit);
    return { code: "far_from_neighbours", read: say("read", { read: asTyped(length) }),
      odd: say(others.length > 1 ? "far_from_many" : "far_from_one", { apart }), slip: "", meant: "" };
  }

  return { say, read, tooFine, question, bare, written, asTyped, mixed, median };
})();
