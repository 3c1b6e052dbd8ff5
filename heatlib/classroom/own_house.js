// The page side of the own-house form. It sends each finished entry to Python, which checks and saves it and answers
// with the whole form; what is being typed at that moment is left alone. All words are set as text, never as markup.

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...children);
  return node;
}

function render({ model, el }) {
  const uid = "ho" + Math.random().toString(36).slice(2, 9);
  const root = make("section", { class: "hl-view hl-own", "aria-labelledby": `${uid}-title` });
  const title = make("div", { class: "hl-title", id: `${uid}-title` }, "Your own greenhouse");
  const state = make("p", { class: "hl-state", "aria-live": "polite" });
  const says = make("div", { role: "alert" });
  const unsaved = make("div");
  const groups = make("div");
  const read = make("button", { type: "button" }, "Read the file again");
  const late = make("p", { class: "hl-error", role: "alert" });
  const buttons = make("div", { class: "hl-buttons" }, read);
  const numbers = make("dl", { "aria-live": "polite", "aria-label": "Your house in numbers" });
  root.append(title, state, says, unsaved, groups, buttons, late, numbers);
  el.append(root);

  const PATIENCE = 6000;
  const SILENT = "Python has not answered yet: it is busy, or this page was opened anew. Run ▸ Run All Cells starts it.";
  let steps = (model.get("_asked") || {}).steps || [];
  let waiting = 0;
  let rows = {};
  let layout = "";

  function ask(kind, name = "", value = "") {
    const last = Math.max(model.get("_form").done, ...steps.map((step) => step[0]), 0);
    steps = [...steps.filter((step) => step[0] > model.get("_form").done), [last + 1, kind, name, value]];
    clearTimeout(waiting);
    waiting = setTimeout(() => (late.textContent = SILENT), PATIENCE);
    root.dataset.sent = last + 1;
    model.set("_asked", { steps });
    model.save_changes();
  }

  function field(item, id) {
    const about = `${id}-hint ${id}-wrong`;
    let box;
    if (item.kind === "choice") {
      box = make("select", { id, "aria-describedby": about });
      for (const [value, words] of item.options) box.append(make("option", { value }, words));
    } else if (item.kind === "button") {
      const press = make("button", { type: "button", id, "aria-describedby": about }, item.label);
      const bare = { box: press, sent: null, item, put() {}, dirty: () => false };
      press.addEventListener("click", () => ask("edit", item.name, true));
      bare.unit = make("span");
      bare.label = make("span");
      bare.hint = make("small", { id: `${id}-hint` });
      bare.wrong = make("span", { class: "hl-wrong", id: `${id}-wrong` });
      bare.node = make("div", { class: "hl-entry" }, make("span"), press, bare.hint, bare.wrong);
      return bare;
    } else if (item.kind === "toggle") {
      box = make("input", { type: "checkbox", id, "aria-describedby": about });
    } else {
      box = make("input", { type: "text", id, "aria-describedby": about, autocomplete: "off", spellcheck: "false" });
      if (item.kind === "number") {
        box.setAttribute("inputmode", "decimal");
        box.classList.add("hl-figure");
      }
    }
    const row = { box, sent: null, item };
    const value = () => (item.kind === "toggle" ? box.checked : box.value);
    const take = () => {
      if (value() === row.sent) return;
      row.sent = value();
      ask("edit", item.name, value());
    };
    box.addEventListener("change", take);
    box.addEventListener("keydown", (event) => event.key === "Enter" && item.kind !== "toggle" && take());
    row.put = (fresh) => {
      row.sent = fresh;
      if (item.kind === "toggle") box.checked = fresh;
      else box.value = fresh;
    };
    row.dirty = () => value() !== row.sent;
    row.unit = make("span", { class: "hl-unit" });
    row.label = make("label", { for: id });
    row.hint = make("small", { id: `${id}-hint` });
    row.wrong = make("span", { class: "hl-wrong", id: `${id}-wrong` });
    row.node = make("div", { class: "hl-entry" }, row.label, box, row.unit, row.hint, row.wrong);
    return row;
  }

  function layOut(form) {
    const open = new Map([...groups.querySelectorAll("details")].map((one) => [one.dataset.title, one.open]));
    const active = document.activeElement?.dataset?.name;
    rows = {};
    groups.replaceChildren(
      ...form.groups.map((group, g) => {
        const count = make("span", { class: "hl-count" });
        const details = make("details", {}, make("summary", {}, group.title, count));
        details.dataset.title = group.title;
        details.open = open.size ? open.get(group.title) ?? true : g === 0;
        const set = make("fieldset", {}, make("legend", { hidden: "" }, group.title));
        group.items.forEach((item, n) => {
          const row = field(item, `${uid}-${g}-${n}`);
          row.box.dataset.name = item.name;
          row.count = count;
          rows[item.name] = row;
          set.append(row.node);
        });
        details.append(set);
        return details;
      }),
    );
    // a part that was taken away leaves the keyboard where its group or the next one was
    if (active) (rows[active]?.box ?? groups.querySelector("details[open] summary"))?.focus();
  }

  function paint() {
    const form = model.get("_form");
    const shape = JSON.stringify(form.groups.map((group) => [group.title, ...group.items.map((item) => [item.name, item.label, item.options])]));
    if (shape !== layout) layOut(form);
    layout = shape;
    for (const group of form.groups) {
      let wrong = 0;
      for (const item of group.items) {
        const row = rows[item.name];
        const typing = document.activeElement === row.box && row.dirty();
        if (!typing) row.put(item.value);
        if (item.kind !== "button") row.label.textContent = item.unit ? `${item.label} (${item.unit})` : item.label;
        row.unit.textContent = "";
        row.hint.textContent = item.hint;
        if (row.wrong.textContent !== item.error) row.wrong.textContent = item.error;
        if (item.error) row.box.setAttribute("aria-invalid", "true");
        else row.box.removeAttribute("aria-invalid");
        wrong += Boolean(item.error);
        row.count.textContent = wrong ? `${wrong} to put right` : "";
      }
    }
    state.textContent = form.state;
    says.replaceChildren(...form.notes.map((words) => make("p", { class: "hl-says" }, words)));
    const area = make("textarea", { readonly: "", "aria-label": "What could not be saved; copy it somewhere safe" });
    area.value = form.unsaved;
    unsaved.replaceChildren(...(form.unsaved ? [area] : []));
    numbers.replaceChildren(...form.numbers.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
    root.dataset.done = form.done;
    if (!steps.some((step) => step[0] > form.done)) {
      clearTimeout(waiting);
      late.textContent = "";
    }
  }

  read.addEventListener("click", () => ask("read"));

  // JupyterLab would take letters for commands of the notebook; it asks the focused node itself for this mark.
  const guard = (event) => {
    if (!root.contains(event.target)) return;
    event.target.toggleAttribute("data-lm-suppress-shortcuts", !(event.ctrlKey || event.metaKey));
  };
  window.addEventListener("keydown", guard, true);
  paint();
  model.on("change:_form", paint);
  return () => {
    clearTimeout(waiting);
    window.removeEventListener("keydown", guard, true);
    model.off("change:_form", paint);
  };
}

export default { render };
