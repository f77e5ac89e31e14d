// Each line beside its strip of the picture: yes, or put right. It shows and asks; Python makes every change.
const LOOKED_AT = 600; // milliseconds that a strip is in sight before it counts as shown

function render({ model, el }) {
  const made = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name === "class") element.className = value;
      else if (value !== "" && value !== null && value !== undefined) element.setAttribute(name, value);
    }
    element.append(...children);
    return element;
  };
  const heading = made("h3", {}), state = made("p", { class: "hk-compare-state", role: "status" });
  const list = made("ol", { class: "hk-compare-list" });
  const all = made("button", { type: "button" }), allWhy = made("span", { class: "hk-compare-why" });
  const foot = made("div", { class: "hk-buttons hk-compare-foot" }, all, allWhy);
  const trouble = made("div", { class: "hk-trouble", role: "alert" });
  const root = made("section", { class: "hk-page hk-compare", "aria-label": "Compare each amount with the picture", "data-lm-suppress-shortcuts": "true" },
    heading, state, list, foot, trouble);
  el.append(root);

  const shown = new Set(), items = new Map(), timers = new Map();
  const sight = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) {
      const key = target.dataset.key;
      clearTimeout(timers.get(key));
      if (isIntersecting) timers.set(key, setTimeout(() => { shown.add(key); drawFoot(); }, LOOKED_AT));
    }
  }, { threshold: 0.7 });

  const waiting = () => model.get("rows").filter((row) => !row.done);
  function drawFoot() {
    const open = waiting(), unplaced = open.filter((row) => !row.picture);
    const unseen = open.filter((row) => row.picture && !shown.has(row.key)).length;
    foot.hidden = open.length < 2;
    all.textContent = "Yes, all of these are right";
    const ready = !unseen && !unplaced.length;
    all.setAttribute("aria-disabled", String(!ready));
    allWhy.textContent = unseen ? `after each strip has been looked at: ${unseen} ${unseen === 1 ? "is" : "are"} still to come`
      : unplaced.length ? "a line without a place on the picture is answered by itself" : "";
  }
  all.addEventListener("click", () => {
    if (all.getAttribute("aria-disabled") === "true") return;
    const keys = waiting().map((row) => row.key);
    focusNext = true;
    model.send({ does: "all", keys });
  });

  let focusNext = false;
  const light = () => {
    for (const li of list.children) li.classList.toggle("hk-compare-pointed", Number(li.dataset.line) === model.get("points"));
  };
  const point = (line) => { if (model.get("points") !== line) model.send({ does: "point", line }); };
  function press(words, label, action, main) {
    const button = made("button", { type: "button", class: main ? "hk-main" : "", "aria-label": label }, words);
    button.addEventListener("click", action);
    return button;
  }
  function item(row) {
    const number = `line ${row.line + 1}`;
    const strip = row.picture
      ? made("figure", { class: "hk-strip", "data-key": row.key, style: `--hk-least: ${row.least}px; --hk-wide: ${row.width}px` },
        made("img", { src: row.picture, alt: `The picture where ${number} stands` }))
      : made("p", { class: "hk-strip-none" }, row.nowhere);
    const words = made("div", { class: "hk-compare-words" }, row.words), means = made("div", { class: "hk-compare-means" }, row.means);
    const doubts = made("ul", { class: "hk-doubts" }, ...row.doubts.map((doubt) => made("li", {}, doubt)));
    const read = made("div", { class: "hk-compare-read" }, words, means, row.doubts.length ? doubts : "");
    const buttons = made("div", { class: "hk-buttons" });
    const li = made("li", { class: row.done ? "hk-compare-done" : "", "data-key": row.key, "data-line": String(row.line) }, strip, made("div", { class: "hk-compare-side" }, read, buttons));
    const rest = () => {
      if (row.done) buttons.replaceChildren(made("span", { class: "hk-compare-yes" }, "✓ compared"));
      else buttons.replaceChildren(press("Yes", `Yes, ${number} is right: ${row.words}`, () => { focusNext = true; model.send({ does: "yes", key: row.key }); }, true));
      buttons.append(press("Change", `Change ${number}`, change));
      read.replaceChildren(words, means, row.doubts.length ? doubts : "");
    };
    function change() {
      const field = made("input", { type: "text", autocomplete: "off", spellcheck: "false", "aria-label": `What stands on the page in ${number}` });
      field.value = row.words;
      const put = () => { focusNext = true; model.send({ does: "change", key: row.key, words: field.value }); };
      const leave = () => { rest(); buttons.lastChild.focus(); };
      field.addEventListener("keydown", (event) => {
        if (event.key === "Enter") { event.preventDefault(); put(); }
        if (event.key === "Escape") { event.stopPropagation(); leave(); }
      });
      read.replaceChildren(field);
      buttons.replaceChildren(press("Put it so", "", put, true), press("Leave it", "", leave));
      field.focus();
    }
    rest();
    li.addEventListener("mouseenter", () => point(row.line));
    li.addEventListener("focusin", () => point(row.line));
    li.addEventListener("pointerdown", () => point(row.line));
    return li;
  }
  function draw() {
    const rows = model.get("rows");
    root.hidden = !rows.length;
    heading.textContent = "Compare each amount with the picture";
    const had = root.contains(document.activeElement);
    for (const [key, old] of items) if (!rows.some((row) => row.key === key)) { sight.unobserve(old.li.querySelector(".hk-strip") || old.li); items.delete(key); }
    const kept = rows.map((row) => {
      const same = JSON.stringify(row), old = items.get(row.key);
      if (old && old.same === same) return old.li;
      const li = item(row);
      items.set(row.key, { same, li });
      const figure = li.querySelector("figure");
      if (figure && !row.done) sight.observe(figure);
      return li;
    });
    if (kept.length !== list.children.length || kept.some((li, n) => list.children[n] !== li)) list.replaceChildren(...kept);
    drawFoot();
    light();
    if (focusNext && had) {
      focusNext = false;
      const next = list.querySelector("li:not(.hk-compare-done) .hk-main");
      if (next) next.focus();
      else { state.tabIndex = -1; state.focus(); }
    }
  }
  root.addEventListener("mouseleave", () => point(-1));
  function heard(message) { trouble.textContent = message.trouble || ""; }
  root.addEventListener("input", () => { trouble.textContent = ""; });
  const tell = () => { state.textContent = model.get("state"); };
  model.on("change:rows", draw);
  model.on("change:state", tell);
  model.on("change:points", light);
  model.on("msg:custom", heard);
  draw();
  tell();
  return () => {
    sight.disconnect();
    for (const timer of timers.values()) clearTimeout(timer);
    model.off("change:rows", draw);
    model.off("change:state", tell);
    model.off("change:points", light);
    model.off("msg:custom", heard);
  };
}

export default { render };
