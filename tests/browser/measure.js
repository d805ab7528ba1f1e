"use strict";
// What the tests measure on a page. Everything is in px of the screen.
const measure = {};
const FOCUSABLE = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']";

// What is laid out: sizes of text and targets, labels that meet, what is cut off, lies on something else, or moves.
measure.laidOut = () => {
  const shown = one => one.checkVisibility({visibilityProperty: true}) && one.getClientRects().length > 0;
  const hidden = one => one.closest(".vh, .skip, .alone > span");
  const drawn = one => one.getBoundingClientRect();
  const onScreen = (box, at) => {
    const points = [[0, 0], [1, 0], [0, 1], [1, 1]].map(([right, down]) =>
      new DOMPoint(box.x + right * box.width, box.y + down * box.height).matrixTransform(at));
    const [xs, ys] = [points.map(one => one.x), points.map(one => one.y)];
    return {left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys)};
  };
  const say = one =>
    (one.getAttribute?.("aria-label") || one.textContent || one.name || one.tagName).trim().slice(0, 40);
  const out = {drawn: [], read: [], targets: [], labels: [], wide: document.documentElement.scrollWidth, cut: [],
               over: [], moves: [], dressed: [], uneven: [], fields: 0};

  // Text of drawings: what its units are on the screen, and which of them meet.
  for (const svg of document.querySelectorAll("svg")) {
    const texts = [...svg.querySelectorAll("text")].filter(one => shown(one) && one.textContent.trim());
    const boxes = texts.map(one => {
      const at = one.getScreenCTM(), scale = Math.sqrt(Math.abs(at.a * at.d - at.b * at.c));
      // Without the halo: that may lie on another halo.
      const size = parseFloat(getComputedStyle(one).fontSize) * scale, box = onScreen(one.getBBox(), at);
      out.drawn.push([size, one.textContent.trim()]);
      // A line of Source Sans 3 reaches 1.02 em above its base line and .4 below it, its letters .72 and .22.
      const upright = Math.abs(at.b) < 1e-6;
      return {left: box.left, right: box.right, top: box.top + (upright ? .3 * size : 0),
              bottom: box.bottom - (upright ? .18 * size : 0), said: one.textContent.trim()};
    });
    boxes.forEach((one, i) => boxes.slice(i + 1).forEach(two => {
      const across = Math.min(one.right, two.right) - Math.max(one.left, two.left);
      const down = Math.min(one.bottom, two.bottom) - Math.max(one.top, two.top);
      if (across > .5 && down > .5) out.labels.push(`${one.said} / ${two.said}`);
    }));
  }

  // Fields beside one another: one height and one width, whatever their labels, units, hints and refusals need.
  for (const row of document.querySelectorAll(".pair, .three")) {
    const fields = [...row.querySelectorAll(":scope > .field:not(.wide)")].filter(shown).flatMap(one => {
      const control = one.querySelector("input, select, textarea");
      if (!control) return [];
      const box = drawn(control);
      return {at: drawn(one).top, top: box.top, width: box.width, column: drawn(one).width, said: say(one)};
    });
    out.fields += fields.length;
    fields.forEach(one => {
      if (Math.abs(one.width - one.column) > 1) out.uneven.push(`not as wide as its column: ${one.said}`);
      for (const two of fields)
        if (Math.abs(one.at - two.at) < 1 && Math.abs(one.top - two.top) > 1)
          out.uneven.push(`not at one height: ${one.said} / ${two.said}`);
    });
  }

  // Text beside drawings: its size, whether it is cut off, and whether two of them lie on one another.
  const lines = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const of = node.parentElement;
    if (!node.data.trim() || of.closest("svg, script, style, option, datalist") || hidden(of) || !shown(of)) continue;
    const size = parseFloat(getComputedStyle(of).fontSize), range = document.createRange(), said = node.data.trim();
    out.read.push([size, said.slice(0, 40)]);
    for (let up = of; up && !up.matches("a[href], button, summary"); up = up.parentElement)
      if (getComputedStyle(up).textDecorationLine === "underline") out.dressed.push(said.slice(0, 40));
    range.selectNodeContents(node);
    const scrolls = of.closest("[tabindex='0']");
    for (const box of range.getClientRects()) {
      if (box.width < 1) continue;
      if (!scrolls && (box.left < -.5 || box.right > innerWidth + .5))
        out.cut.push(`beyond the edge: ${said.slice(0, 40)}`);
      for (let up = of; up && up !== document.body; up = up.parentElement) {
        const style = getComputedStyle(up), room = drawn(up);
        if (style.overflowX === "visible" && style.overflowY === "visible") continue;
        if (style.overflowX !== "auto" && (box.right > room.right + 1 || box.bottom > room.bottom + 1))
          out.cut.push(`cut off: ${said.slice(0, 40)}`);
        break;
      }
      if (!scrolls) lines.push({left: box.left, right: box.right, top: box.top + .2 * size, bottom: box.bottom - .2 * size,
                  of: of.closest("p, li, h1, h2, h3, td, th, dd, dt, label, button, summary, legend, figcaption"), said});
    }
  }
  for (const one of document.querySelectorAll("button, .btn, select, th, td, dd, .typed, label"))
    if (shown(one) && !hidden(one) && one.scrollWidth > one.clientWidth + 1 && one.clientWidth
        && getComputedStyle(one).overflowX !== "visible") out.cut.push(`too wide for its box: ${say(one)}`);
  lines.sort((one, two) => one.top - two.top);
  lines.forEach((one, i) => {
    for (let k = i + 1; k < lines.length && lines[k].top < one.bottom; k++) {
      const two = lines[k];
      if (one.of === two.of && one.of) continue;
      const across = Math.min(one.right, two.right) - Math.max(one.left, two.left);
      if (across > 1 && Math.min(one.bottom, two.bottom) - two.top > 1)
        out.over.push(`${one.said.slice(0, 30)} / ${two.said.slice(0, 30)}`);
    }
  });

  // Targets: a radio or a tick is hit by its label. A link inside a sentence may be as high as its line (WCAG 2.5.8).
  const inSentence = one => one.tagName === "A" && getComputedStyle(one).display === "inline"
    && one.parentElement.textContent.trim() !== one.textContent.trim();
  const seen = new Set();
  for (let one of document.querySelectorAll(FOCUSABLE)) {
    if (!shown(one) || hidden(one) || one.closest("svg")) continue;
    if (["radio", "checkbox"].includes(one.type)) one = one.closest("label") || one;
    if (seen.has(one) || inSentence(one)) continue;
    seen.add(one);
    const box = drawn(one);
    out.targets.push({said: say(one), wide: box.width, high: box.height, x: box.left + box.width / 2,
                      y: box.top + box.height / 2, left: box.left, right: box.right, top: box.top, bottom: box.bottom});
  }

  out.moves = measure.moving();
  return out;
};

// What is animated, or glides into another look or place; what scripts had glide is in `moved`, where that is noted.
measure.moving = () => {
  const styled = [...document.querySelectorAll("*")].filter(one => {
    const style = getComputedStyle(one);
    return style.animationName !== "none" || parseFloat(style.transitionDuration) || style.scrollBehavior !== "auto";
  });
  const drawn = document.querySelectorAll("animate, animateTransform, animateMotion, set, marquee");
  return [...[...styled, ...drawn].map(one => one.tagName + "." + one.className),
          ...document.getAnimations().map(one => one.constructor.name), ...(window.moved || [])];
};

// What takes the focus and does not show it: an outline of 2 px, its own or that of what stands for it.
measure.focused = () => {
  const out = [];
  const ink = one => { const style = getComputedStyle(one);
    const none = style.outlineStyle === "none" || one.matches("input") && style.opacity === "0";
    return none ? 0 : parseFloat(style.outlineWidth); };
  const line = one => one && getComputedStyle(one).boxShadow;
  for (const one of document.querySelectorAll(FOCUSABLE)) {
    if (!one.checkVisibility({visibilityProperty: true}) || one.disabled || one.tabIndex < 0) continue;
    const under = one.closest(".readout"), before = line(under);
    one.focus({focusVisible: true});
    if (document.activeElement !== one) { out.push(`takes no focus: ${one.name || one.textContent.trim()}`); continue; }
    const widest = Math.max(...[one, one.nextElementSibling, one.closest("label"), under].filter(Boolean).map(ink));
    const seen = one.getBoundingClientRect();
    if (widest < 2 && (!under || line(under) === before)) out.push(`no outline: ${one.name || one.textContent.trim()}`);
    else if (seen.right < 0 || seen.left > innerWidth) out.push(`outside: ${one.name || one.textContent.trim()}`);
  }
  return out;
};

// Lines and choices that forced colours lose. names: the system's colours.
measure.forced = (names) => {
  const probe = document.body.appendChild(document.createElement("i"));
  probe.style.forcedColorAdjust = "none";
  const colour = name => { probe.style.color = name; return getComputedStyle(probe).color; };
  const system = new Set(names.map(colour)), out = [];
  probe.remove();
  // The graph rule and the patterns' ground are ornament.
  for (const one of document.querySelectorAll("svg *:not(defs *, defs, title, desc, g, .q1, .q2, use, a)")) {
    if (!one.checkVisibility() || !one.getBBox) continue;
    const style = getComputedStyle(one);
    for (const kind of ["fill", "stroke"])
      if (!["none"].includes(style[kind]) && !style[kind].startsWith("url") && !system.has(style[kind])
          && !(kind === "stroke" && parseFloat(style.strokeWidth) === 0))
        out.push(`${one.tagName}.${one.getAttribute("class")} ${kind} ${style[kind]}`);
  }
  const chosen = "[aria-pressed=true], .align [aria-current], .pick :checked + span, .signs :checked + span,"
    + " .eighths label:has(:checked)";
  const ground = one => { const style = getComputedStyle(one); return [style.backgroundColor, style.borderBottomWidth,
                          style.textDecorationLine].join(); };
  for (const one of document.querySelectorAll(chosen)) {
    if (!one.checkVisibility()) continue;
    const group = one.closest("fieldset, form, nav, div");
    const left = "button[aria-pressed=false], a:not([aria-current]), :not(:checked) + span, label:has(input:not(:checked))";
    const others = [...group.querySelectorAll(left)]
      .filter(other => other.tagName === one.tagName);
    if (others.length && others.every(other => ground(other) === ground(one)))
      out.push(`chosen and not seen: ${one.textContent.trim()}`);
  }
  return [...new Set(out)];
};

// Signs of verdicts: word and form, without colours.
measure.signs = () => [...document.querySelectorAll(".verdict")].map(one => [
  one.textContent.trim(),
  [...one.querySelectorAll("svg *")].filter(part => part.getBBox).map(part =>
    [part.tagName, part.getAttribute("d"), part.getAttribute("cx"), part.getAttribute("r"),
     getComputedStyle(part).fill === "none" ? "open" : part.getAttribute("class"),
     getComputedStyle(part).strokeDasharray].join(" ")).join("; ")]);

// What has the focus and how far down the page it is; null where nothing has it.
measure.inHand = () => { const one = document.activeElement, box = one.getBoundingClientRect();
  return one === document.body ? null : [one.outerHTML.slice(0, 80), box.top + scrollY]; };
