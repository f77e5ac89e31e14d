// The marked page: draws what Python has made, opens the small form, and says what the maker did. It works nothing out.

const NAMES = { amount: "Amount", unit: "Unit", name: "Ingredient" };

function made(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "class") element.className = value;
    else if (value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

let pages = 0;

function render({ model, el }) {
  const own = `hk${++pages}`;
  const body = made("div", { class: "hk-body" });
  const side = made("div", { class: "hk-side" });
  const said = made("div", { class: "hk-hidden", role: "status", "aria-live": "polite" });
  const page = made("div", { class: "hk-page", "data-lm-suppress-shortcuts": "true", role: "group", "aria-label": "The printed page, marked" },
    made("div", { class: "hk-both" }, body, side), said);
  el.append(page);
  let open = null; // { line, part, form, fields }

  // Where the text is from a photograph: the stretch of it where a line stands, beside the line that is pointed at.
  let pointed = -1;
  function stripOf(line) {
    const strip = model.get("strips")[line];
    if (!strip?.picture) return null;
    return made("figure", { class: "hk-strip", style: `--hk-least: ${strip.least}px; --hk-wide: ${strip.width}px` },
      made("img", { src: strip.picture, alt: `Line ${line + 1} in the photograph` }));
  }
  function point(row) {
    const line = row ? Number(row.dataset.row) : -1;
    if (line === pointed) return;
    pointed = line;
    body.querySelectorAll(".hk-row > .hk-strip").forEach((strip) => strip.remove());
    if (!model.get("strips").length) return;
    const strip = row && stripOf(line);
    if (strip) { strip.setAttribute("aria-hidden", "true"); row.append(strip); }
    model.send({ does: "point", line });
  }
  body.addEventListener("mouseover", (event) => point(event.target.closest("[data-row]")));
  body.addEventListener("focusin", (event) => point(event.target.closest("[data-row]")));
  body.addEventListener("mouseleave", () => point(null));

  const span = (line, part) =>
    body.querySelector(`[data-line="${line}"][data-part="${part}"]`) || body.querySelector(`[data-line="${line}"]`);

  function draw() {
    const active = document.activeElement;
    const at = body.contains(active) && active.dataset.line !== undefined ? [active.dataset.line, active.dataset.part] : null;
    const inForm = open && open.form.contains(active) ? active : null;
    body.innerHTML = model.get("html"); // escaped where it was made
    pointed = -1;
    if (open) place();
    if (inForm) inForm.focus();
    else if (at) span(...at)?.focus();
  }

  function place() {
    const row = body.querySelector(`[data-row="${open.line}"]`);
    if (!row) return close();
    row.classList.add("hk-open");
    span(open.line, open.part)?.setAttribute("aria-expanded", "true");
    row.after(open.form);
  }

  function close(focus = false) {
    if (!open) return;
    const { line, part, form } = open;
    open = null;
    form.remove();
    body.querySelectorAll(".hk-open").forEach((row) => row.classList.remove("hk-open"));
    const back = span(line, part);
    back?.setAttribute("aria-expanded", "false");
    if (focus) back?.focus();
  }

  function field(name, line, data) {
    const id = `${own}-${name}`;
    let control;
    if (name === "unit") {
      control = made("select", { id });
      for (const unit of model.get("units")) control.append(made("option", { value: unit }, unit));
    } else control = made("input", { id, type: "text", autocomplete: "off", placeholder: name === "amount" ? "2, ½, 5 to 8" : "" });
    control.value = data[name];
    return [control, made("div", {}, made("label", { for: id }, `${NAMES[name]} in line ${line + 1}`), control)];
  }

  function meanings(line, data) {
    if (data.meanings.length < 2) return [null, ""];
    const box = made("div", { class: "hk-choice", role: "radiogroup", "aria-label": `Line ${line + 1} means` });
    data.meanings.forEach(([key, words]) => {
      const radio = made("input", { type: "radio", name: `${own}-means`, value: key });
      radio.checked = key === data.meaning;
      box.append(made("label", {}, radio, words));
    });
    return [box, box];
  }

  function opened(line, part) {
    close();
    const data = model.get("lines")[line];
    if (!data) return;
    const fields = {}, boxes = [];
    for (const name of ["amount", "unit", "name"]) {
      const [control, box] = field(name, line, data);
      fields[name] = control;
      boxes.push(box);
    }
    const [means, meansBox] = meanings(line, data);
    const trouble = made("div", { class: "hk-trouble", role: "alert" });
    const button = (words, action, main = false) => {
      const pressed = made("button", { type: "button", class: main ? "hk-main" : "" }, words);
      pressed.addEventListener("click", action);
      return pressed;
    };
    const tell = (does) => () => model.send({ does, line });
    const buttons = made("div", { class: "hk-buttons" }, button("Put it right", () => submit(), true), button("Not an ingredient", tell("leave_out")));
    if (line > 0) buttons.append(button("Belongs to the line above", tell("join")));
    if (data.changed) buttons.append(button("Read as printed", tell("as_printed")));
    buttons.append(button("Close", () => close(true)));
    const closer = made("div", { class: "hk-closer" });
    const fold = made("details", {}, made("summary", {}, "How it came about, and what the glossary says"), closer);
    fold.addEventListener("toggle", () => { if (fold.open) model.send({ does: "explain", line }); });
    const doubts = made("ul", { class: "hk-doubts" }, ...data.doubts.map((words) => made("li", {}, words)));
    const form = made("form", { class: "hk-form", "aria-label": `Line ${line + 1}` },
      made("fieldset", {}, made("legend", {}, `Line ${line + 1}: ${data.printed}`), stripOf(line) || "", data.doubts.length ? doubts : "",
        made("div", { class: "hk-fields" }, ...boxes), meansBox, trouble, buttons, fold));
    const submit = () => {
      const values = {};
      for (const [name, control] of Object.entries(fields)) if (control.value !== data[name]) values[name] = control.value;
      const chosen = means?.querySelector("input:checked");
      if (chosen && chosen.value !== data.meaning) values.meaning = chosen.value;
      model.send({ does: "put_right", line, values });
    };
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("keydown", (event) => { // JupyterLab keeps Enter from submitting a form
      if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
      event.preventDefault();
      submit();
    });
    form.addEventListener("input", () => { trouble.textContent = ""; });
    open = { line, part, form, trouble, closer };
    place();
    const first = part === "amount" ? fields.amount : fields.name;
    first.focus();
    first.select?.();
  }

  function drawSide() {
    const active = document.activeElement, key = side.contains(active) ? active.dataset.key : null;
    const chosen = Object.fromEntries([...side.querySelectorAll("select")].map((list) => [list.dataset.of, list.value]));
    side.replaceChildren(...model.get("grave").map((one, n) => {
      const id = `${own}-in-place-${n}`;
      const card = made("section", { class: `hk-card ${one.taken ? "hk-settled" : "hk-grave"}`, "aria-label": one.title },
        made("h3", {}, one.title), made("p", {}, one.taken || one.text));
      const buttons = made("div", { class: "hk-buttons" });
      const press = (words, does, more, main = false) => {
        const pressed = made("button", { type: "button", class: main ? "hk-main" : "", "data-key": `${one.key} ${does}` }, words);
        pressed.addEventListener("click", () => model.send({ does, key: one.key, ...more() }));
        buttons.append(pressed);
      };
      if (one.taken) press("Take the choice back", "take_back", () => ({}));
      else if (one.options.length) {
        const list = made("select", { id, "data-of": one.key }, ...one.options.map((words) => made("option", { value: words }, words)));
        if (chosen[one.key]) list.value = chosen[one.key];
        card.append(made("label", { for: id }, `In place of ${one.name}`), list);
        press("Replace it", "replace", () => ({ option: list.value }), true);
      }
      card.append(buttons);
      return card;
    }));
    side.hidden = !model.get("grave").length;
    if (key) (side.querySelector(`[data-key="${key}"]`) || side.querySelector(`[data-key^="${key.split(" ")[0]} "]`))?.focus();
  }

  function pressed(event) {
    const button = event.target.closest("[data-line]");
    if (!button) return;
    event.preventDefault();
    const line = Number(button.dataset.line), part = button.dataset.part;
    if (open && open.line === line && open.part === part) close(true);
    else opened(line, part);
  }
  body.addEventListener("click", pressed);
  body.addEventListener("keydown", (event) => {
    if (event.key === "Enter" || event.key === " ") pressed(event);
  });
  page.addEventListener("keydown", (event) => {
    page.classList.toggle("hk-quiet", event.key === "Escape");
    if (event.key !== "Escape" || !open) return;
    event.stopPropagation();
    close(true);
  });
  page.addEventListener("mouseover", () => page.classList.remove("hk-quiet"));

  function heard(message) {
    if (message.trouble !== undefined && message.trouble) {
      if (open && message.line === open.line) open.trouble.textContent = message.trouble;
      else said.textContent = message.trouble;
    } else if (message.closer !== undefined) {
      if (open && message.line === open.line) open.closer.innerHTML = message.closer; // escaped where it was made
    } else {
      if (open && message.line === open.line) close(true);
      said.textContent = message.done || "";
    }
  }

  model.on("change:html", draw);
  model.on("change:grave", drawSide);
  model.on("msg:custom", heard);
  draw();
  drawSide();
  return () => {
    model.off("change:html", draw);
    model.off("change:grave", drawSide);
    model.off("msg:custom", heard);
  };
}

export default { render };
