// The page side of a live view. It keeps what the reader has touched and always asks for the latest of it;
// Python answers with a finished picture. Nothing is calculated here.

const PINS = 3;

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

// A number with the places of its step; between two steps one figure finer than the step, and no more.
function plain(value, item) {
  let text = value.toFixed(item.decimals);
  if (Math.abs(Number(text) - value) > 1e-6 * item.step) {
    const places = 1 - Math.floor(Math.log10(item.step) + 1e-9);
    const near = Math.round(value * 10 ** places) / 10 ** places;
    text = near.toFixed(item.decimals);
    if (Number(text) !== near) text = near.toFixed(Math.max(places, 0));
  }
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function withUnit(text, item) {
  if (!item.unit) return text;
  return ["%", "°"].includes(item.unit) ? `${text}${item.unit}` : `${text} ${item.unit}`;
}

// The nearest step, counted from zero so that values are round; both ends can be reached though they be no steps.
function snap(value, item) {
  const near = Math.round(value / item.step) * item.step;
  const reach = (item.max - item.min) / 400;
  if (value <= item.min + reach) return item.min;
  if (value >= item.max - reach) return item.max;
  return Math.min(Math.max(near, item.min), item.max);
}

function stepFrom(value, item, count) {
  const exact = value / item.step;
  const base = count > 0 ? Math.floor(exact + 1e-6) : Math.ceil(exact - 1e-6);
  return Math.min(Math.max((base + count) * item.step, item.min), item.max);
}

const KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

function render({ model, el }) {
  const uid = "hl" + Math.random().toString(36).slice(2, 9);
  const root = make("section", { class: "hl-view", "aria-labelledby": `${uid}-title` });
  const title = make("div", { class: "hl-title", id: `${uid}-title` }, model.get("_title"));
  const controls = make("div", { class: "hl-controls" });
  const buttons = make("div", { class: "hl-buttons" });
  const error = make("p", { class: "hl-error", role: "alert" });
  const picture = make("div", { class: "hl-picture", role: "img" });
  const sentence = make("p", { class: "hl-sentence", "aria-live": "polite", "aria-atomic": "true" });
  const compare = make("div", { class: "hl-compare" });
  const reset = make("button", { type: "button" }, "Reset");
  const pin = make("button", { type: "button" }, "Pin this case");
  const pinNote = make("span", { class: "hl-note", "aria-live": "polite" });
  const busy = make("span", { class: "hl-note hl-busy", role: "status" });
  buttons.append(reset, pin, pinNote, busy);
  root.append(title, controls, buttons, error, picture, sentence, compare);
  el.append(root);

  const asked = model.get("_asked") || {};
  const state = {
    units: model.get("_controls").units,
    touched: {},
    reset: asked.reset || 0,
    pins: asked.pins || [],
    serial: asked.serial || 0,
  };
  if (asked.units === state.units) state.touched = { ...asked.touched };
  let setters = {};

  // Python answers in a blink; where it takes longer, say so and keep the last picture, paler; where nothing comes at
  // all, say what to do.
  const BLINK = 300;
  const PATIENCE = 12000;
  const SILENT = "Python has not answered yet: it is busy, or this page was opened anew. Run ▸ Run All Cells starts it.";
  let waiting = 0;
  let soon = 0;

  function settle() {
    clearTimeout(waiting);
    clearTimeout(soon);
    soon = 0;
    busy.textContent = "";
    root.removeAttribute("aria-busy");
  }

  function tellSoon() {
    soon = setTimeout(() => {
      busy.textContent = "Computing …";
      root.setAttribute("aria-busy", "true");
    }, BLINK);
  }

  function ask() {
    state.serial += 1;
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      settle();
      error.textContent = SILENT;
    }, PATIENCE);
    if (!soon) tellSoon();
    root.dataset.sent = state.serial;
    model.set("_asked", structuredClone(state));
    model.save_changes();
  }

  function touch(name, value) {
    state.touched[name] = value;
    ask();
  }

  function slider(item, id) {
    // a unit that has brackets of its own takes a comma
    const note = !item.unit ? "" : item.unit.includes("(") ? `, ${item.unit}` : ` (${item.unit})`;
    const label = make("label", { for: id }, item.label, make("span", { class: "hl-unit" }, note));
    const range = make("input", { type: "range", id, min: item.min, max: item.max, step: "any" });
    const typed = make("input", { type: "number", step: "any", inputmode: "decimal",
      "aria-label": `${item.label}${item.unit ? `, in ${item.unit}` : ""}, typed value` });
    let now = item.value;
    const mark = () => {
      const share = (100 * (now - item.min)) / (item.max - item.min);
      range.style.setProperty("--hl-share", `${share}%`);
      range.setAttribute("aria-valuetext", withUnit(plain(now, item), item));
    };
    const put = (value) => {
      now = value;
      range.value = value;
      typed.value = plain(value, item);
      typed.removeAttribute("aria-invalid");
      mark();
    };
    const move = (value) => {
      if (value === now && !typed.hasAttribute("aria-invalid")) return;
      put(value);
      touch(item.name, value);
    };
    range.addEventListener("input", () => {
      const value = snap(Number(range.value), item);
      const same = value === now;
      if (same) return mark();
      now = value;
      typed.value = plain(value, item);
      typed.removeAttribute("aria-invalid");
      mark();
      touch(item.name, value);
    });
    range.addEventListener("change", () => (range.value = now));
    const key = (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const inField = event.target === typed;
      let value;
      if (event.key in KEYS && !(inField && /Left|Right/.test(event.key))) value = stepFrom(now, item, KEYS[event.key]);
      else if (!inField && event.key === "Home") value = item.min;
      else if (!inField && event.key === "End") value = item.max;
      else return;
      event.preventDefault();
      move(value);
    };
    range.addEventListener("keydown", key);
    typed.addEventListener("keydown", (event) => (event.key === "Enter" ? take() : key(event)));
    const take = () => {
      if (typed.value === plain(now, item) && !typed.hasAttribute("aria-invalid")) return;
      const value = typed.value.trim() === "" ? null : Number(typed.value);
      if (value !== null && value >= item.min && value <= item.max) return move(value);
      typed.setAttribute("aria-invalid", "true");
      touch(item.name, value);
    };
    typed.addEventListener("change", take);
    put(item.name in state.touched && state.touched[item.name] !== null ? state.touched[item.name] : item.value);
    setters[item.name] = put;
    return [label, range, typed];
  }

  function select(item, id) {
    const label = make("label", { for: id }, item.label);
    const box = make("select", { id, class: "hl-wide" });
    for (const [value, words] of item.options) box.append(make("option", { value }, words));
    box.value = state.touched[item.name] ?? item.value;
    box.addEventListener("change", () => touch(item.name, box.value));
    setters[item.name] = (value) => (box.value = value);
    return [label, box];
  }

  function toggle(item, id) {
    const box = make("input", { type: "checkbox", id });
    box.checked = state.touched[item.name] ?? item.value;
    box.addEventListener("change", () => touch(item.name, box.checked));
    setters[item.name] = (value) => (box.checked = value);
    return [make("label", { for: id }, item.label), make("span", { class: "hl-wide" }, box)];
  }

  const kinds = { slider, choice: select, toggle };

  function layOut() {
    const { units, items } = model.get("_controls");
    if (units !== state.units) state.touched = {};
    state.units = units;
    const active = controls.contains(document.activeElement) ? document.activeElement.dataset.at : null;
    setters = {};
    const rows = items.map((item, index) => {
      const row = make("div", { class: `hl-control hl-${item.kind}` }, ...kinds[item.kind](item, `${uid}-${index}`));
      row.querySelectorAll("input, select").forEach((node, n) => (node.dataset.at = `${index}.${n}`));
      return row;
    });
    controls.replaceChildren(...rows);
    buttons.hidden = !items.length;
    if (active) controls.querySelector(`[data-at="${active}"]`)?.focus();
  }

  function own(svg, part = "") {
    return svg.replace(/(\bid="|url\(#)hl-/g, `$1${uid}${part}-`);
  }

  function paint() {
    const shown = model.get("_shown");
    picture.innerHTML = own(shown.svg);
    picture.setAttribute("aria-label", shown.description);
    if (sentence.textContent !== shown.sentence) sentence.textContent = shown.sentence;
    if (error.textContent !== shown.error) error.textContent = shown.error;
    root.dataset.asked = shown.asked;
    if (shown.asked >= state.serial) settle();
    else if (soon) {
      clearTimeout(soon);
      tellSoon();
    }
    if (state.pins.length) sideBySide();
  }

  function small(name, shown, part) {
    const figure = make("div", { class: "hl-small", "aria-hidden": "true" }, make("div", { class: "hl-name" }, name));
    const holder = make("div");
    holder.innerHTML = own(shown.svg, part);
    figure.append(holder);
    return figure;
  }

  function sideBySide() {
    const pinned = model.get("_pinned");
    if (!state.pins.length || !pinned.length) return compare.replaceChildren();
    const cases = [["Now", model.get("_shown")], ...pinned.map((one, n) => [`Case ${"ABC"[n]}`, one])];
    const figures = make("div", { class: "hl-figures" }, ...cases.map(([name, one], n) => small(name, one, `p${n}`)));
    const head = make("tr", {}, make("th", { scope: "col" }, "Compared"),
      ...cases.map(([name]) => make("th", { scope: "col" }, name)));
    const row = (label, key) => make("tr", {}, make("th", { scope: "row" }, label),
      ...cases.map(([, one]) => make("td", {}, (one[key].find((pair) => pair[0] === label) || ["", "–"])[1])));
    // A number that only some of the cases have keeps its row too.
    const labels = (key) => [...new Set(cases.flatMap(([, one]) => one[key].map(([label]) => label)))];
    const body = make("tbody", {},
      ...["settings", "numbers"].flatMap((key) => labels(key).map((label) => row(label, key))));
    const table = make("table", {}, make("thead", {}, head), body);
    const frame = make("div", { class: "hl-table", tabindex: "0", role: "region", "aria-label": "Compared cases" }, table);
    const clear = make("button", { type: "button" }, "Remove the pinned cases");
    clear.addEventListener("click", () => {
      state.pins = [];
      pinned_changed("Pinned cases removed.");
      pin.focus();
    });
    if (compare.querySelector(".hl-table:focus")) frame.dataset.focus = "1";
    compare.replaceChildren(figures, frame, clear);
    if (frame.dataset.focus) frame.focus();
  }

  function pinned_changed(words) {
    pin.disabled = state.pins.length >= PINS;
    pinNote.textContent = words;
    sideBySide();
    ask();
  }

  reset.addEventListener("click", () => {
    state.touched = {};
    state.reset += 1;
    for (const item of model.get("_controls").items) setters[item.name](item.start);
    ask();
  });
  pin.addEventListener("click", () => {
    state.pins = [...state.pins, model.get("_shown").case];
    pinned_changed(`Case ${"ABC"[state.pins.length - 1]} pinned: move on and compare.`);
  });

  // JupyterLab would take letters for commands of the notebook ("x" cuts the cell). It asks the focused node itself for
  // this mark, before any key reaches the node. Its shortcuts with Ctrl or ⌘, such as saving, stay alive.
  const guard = (event) => {
    if (!root.contains(event.target)) return;
    event.target.toggleAttribute("data-lm-suppress-shortcuts", !(event.ctrlKey || event.metaKey));
  };
  window.addEventListener("keydown", guard, true);

  layOut();
  paint();
  sideBySide();
  pin.disabled = state.pins.length >= PINS;
  model.on("change:_controls", layOut);
  model.on("change:_shown", paint);
  model.on("change:_pinned", sideBySide);
  return () => {
    settle();
    window.removeEventListener("keydown", guard, true);
    model.off("change:_controls", layOut);
    model.off("change:_shown", paint);
    model.off("change:_pinned", sideBySide);
  };
}

export default { render };
