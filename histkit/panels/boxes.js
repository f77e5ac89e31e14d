// Boxes drawn on a picture with mouse, finger or pen; each can be named and taken away by keyboard too.
// Sends [{name, left, top, width, height}] in shares of the picture. Nothing is fetched from anywhere.
function render({ model, el }) {
  el.classList.add("hk-boxes");
  const sheet = document.createElement("style");
  sheet.textContent = `
.hk-boxes .hk-picture { position: relative; display: inline-block; max-width: 100%; touch-action: none; cursor: crosshair; }
.hk-boxes img { display: block; max-width: min(100%, 46em); max-height: 70vh; user-select: none; }
.hk-boxes .hk-box { position: absolute; border: 2px solid #fff; outline: 2px solid #222; box-sizing: border-box; }
.hk-boxes .hk-box span { position: absolute; left: 0; top: 0; background: #222; color: #fff; font: 600 13px/1.5 sans-serif; padding: 0 .4em; }
.hk-boxes ol { padding-left: 1.6em; margin: .5em 0; }
.hk-boxes li { margin: .25em 0; color: var(--jp-ui-font-color1, #1b1b1b); }
.hk-boxes input { font: inherit; padding: .2em .4em; min-width: 12em; color: inherit; background: transparent;
  border: 1px solid var(--jp-border-color1, #888); }
.hk-boxes button { font: inherit; padding: .2em .7em; margin-left: .4em; cursor: pointer; color: inherit;
  background: var(--jp-layout-color2, #eee); border: 1px solid var(--jp-border-color1, #888); }
.hk-boxes :focus-visible { outline: 3px solid var(--jp-brand-color1, #1f5f7a); outline-offset: 1px; }`;
  const picture = document.createElement("div");
  picture.className = "hk-picture";
  const image = document.createElement("img");
  image.draggable = false;
  const list = document.createElement("ol");
  list.setAttribute("aria-label", "Boxes on the picture");
  el.append(sheet, picture, list);
  picture.append(image);

  const boxes = () => model.get("boxes").map((box) => ({ ...box }));
  const keep = (changed) => { model.set("boxes", changed); model.save_changes(); };
  const place = (div, box) => {
    for (const [side, key] of [["left", "left"], ["top", "top"], ["width", "width"], ["height", "height"]]) {
      div.style[side] = `${100 * box[key]}%`;
    }
  };
  function drawn(box, number) {
    const div = document.createElement("div");
    div.className = "hk-box";
    place(div, box);
    const label = document.createElement("span");
    label.textContent = `${number}`;
    div.append(label);
    return div;
  }
  function row(box, number) {
    const item = document.createElement("li");
    const name = document.createElement("input");
    name.value = box.name;
    name.setAttribute("aria-label", `Name of box ${number}`);
    name.setAttribute("list", "hk-box-names");
    name.addEventListener("change", () => {
      const changed = boxes();
      changed[number - 1].name = name.value;
      keep(changed);
    });
    const away = document.createElement("button");
    away.type = "button";
    away.textContent = "Take away";
    away.setAttribute("aria-label", `Take box ${number} away`);
    away.addEventListener("click", () => keep(boxes().filter((_, n) => n !== number - 1)));
    item.append(name, away);
    return item;
  }
  function show() {
    for (const old of picture.querySelectorAll(".hk-box")) old.remove();
    list.replaceChildren();
    boxes().forEach((box, n) => { picture.append(drawn(box, n + 1)); list.append(row(box, n + 1)); });
    picture.hidden = !model.get("picture");
  }
  function load() {
    image.alt = model.get("picture") ? "The photograph" : "";
    if (model.get("picture")) image.src = model.get("picture"); else image.removeAttribute("src");
    show();
  }
  let begun = null;
  const at = (event) => {
    const frame = image.getBoundingClientRect();
    const share = (value, low, size) => Math.min(1, Math.max(0, (value - low) / size));
    return [share(event.clientX, frame.left, frame.width), share(event.clientY, frame.top, frame.height)];
  };
  const between = ([a, b], [c, d]) => ({ left: Math.min(a, c), top: Math.min(b, d), width: Math.abs(a - c), height: Math.abs(b - d) });
  picture.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    begun = { from: at(event), div: drawn({ left: 0, top: 0, width: 0, height: 0 }, boxes().length + 1) };
    picture.append(begun.div);
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener("pointermove", (event) => { if (begun) place(begun.div, between(begun.from, at(event))); });
  picture.addEventListener("pointerup", (event) => {
    if (!begun) return;
    const box = between(begun.from, at(event));
    begun.div.remove();
    begun = null;
    if (box.width < 0.005 || box.height < 0.005) return;
    keep([...boxes(), { name: boxes().length ? `swatch ${boxes().length}` : model.get("first"), ...box }]);
  });
  picture.addEventListener("pointercancel", () => { if (begun) begun.div.remove(); begun = null; });
  model.on("change:boxes", show);
  model.on("change:picture", load);
  load();
}
export default { render };
