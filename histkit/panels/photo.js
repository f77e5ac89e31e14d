// The photograph of a page: a frame is drawn on it with mouse, finger or keyboard; afterwards it shows where words stand.
// Places are shares of the picture. It works nothing out, and nothing is fetched from anywhere.
const SIDES = ["left", "top", "right", "bottom"];
const STEP = 0.01, LEAST = 0.03;

function render({ model, el }) {
  const make = (tag, className, attributes = {}) => {
    const element = document.createElement(tag);
    element.className = className;
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    return element;
  };
  const body = make("div", "hk-page hk-photo", { "data-lm-suppress-shortcuts": "true" });
  const picture = make("div", "hk-photo-picture");
  const image = make("img", "", { draggable: "false", alt: "" });
  const over = make("div", "hk-photo-over");
  const frame = make("div", "hk-photo-frame");
  const said = make("p", "hk-photo-said", { "aria-live": "polite" });
  const edges = Object.fromEntries(SIDES.map((side) => [side, make("div", `hk-photo-edge hk-photo-${side}`, {
    role: "slider", tabindex: "0", "aria-label": `The frame's ${side} edge`, "aria-valuemin": "0", "aria-valuemax": "100", "data-side": side,
    "aria-orientation": side === "left" || side === "right" ? "horizontal" : "vertical",
  })]));
  frame.append(...Object.values(edges));
  picture.append(image, over, frame);
  body.append(picture, said);
  el.append(body);

  const place = (element, box) => {
    element.style.left = `${100 * box.left}%`;
    element.style.top = `${100 * box.top}%`;
    element.style.width = `${100 * (box.right - box.left)}%`;
    element.style.height = `${100 * (box.bottom - box.top)}%`;
  };
  let now = model.get("frame");
  function showFrame(box) {
    now = box;
    place(frame, box);
    for (const side of SIDES) {
      const share = Math.round(100 * box[side]);
      edges[side].setAttribute("aria-valuenow", share);
      edges[side].setAttribute("aria-valuetext", `${share} per cent from the ${side === "left" || side === "right" ? "left" : "top"}`);
    }
  }
  const keep = (box) => { showFrame(box); model.set("frame", box); model.save_changes(); };
  function moved(box, side, share) {
    const other = { left: "right", right: "left", top: "bottom", bottom: "top" }[side];
    const first = side === "left" || side === "top";
    const held = first ? Math.min(share, box[other] - LEAST) : Math.max(share, box[other] + LEAST);
    return { ...box, [side]: Math.min(1, Math.max(0, held)) };
  }

  const at = (event) => {
    const seen = image.getBoundingClientRect();
    const share = (value, low, size) => Math.min(1, Math.max(0, (value - low) / size));
    return [share(event.clientX, seen.left, seen.width), share(event.clientY, seen.top, seen.height)];
  };
  let drag = null;
  picture.addEventListener("pointerdown", (event) => {
    if (!model.get("framing") || event.button > 0) return;
    event.preventDefault();
    const side = event.target.dataset?.side;
    if (side) edges[side].focus();
    drag = { side, from: at(event), before: now };
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const [x, y] = at(event), [a, b] = drag.from;
    if (drag.side) showFrame(moved(now, drag.side, drag.side === "left" || drag.side === "right" ? x : y));
    else showFrame({ left: Math.min(a, x), top: Math.min(b, y), right: Math.max(a, x), bottom: Math.max(b, y) });
  });
  picture.addEventListener("pointerup", () => {
    if (!drag) return;
    const drawn = now.right - now.left >= LEAST && now.bottom - now.top >= LEAST;
    keep(drawn ? now : drag.before); // a mere click draws nothing
    drag = null;
  });
  picture.addEventListener("pointercancel", () => { if (drag) showFrame(drag.before); drag = null; });
  frame.addEventListener("keydown", (event) => {
    const side = event.target.dataset?.side, across = side === "left" || side === "right";
    const way = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1, PageUp: -5, PageDown: 5 }[event.key];
    if (!side || !way || (across ? /Up|Down/ : /Left|Right/).test(event.key) && event.key.startsWith("Arrow")) return;
    event.preventDefault();
    event.stopPropagation();
    keep(moved(now, side, now[side] + way * STEP));
  });

  function showMarks() {
    over.replaceChildren();
    for (const mark of model.get("marks")) {
      const box = make("div", `hk-photo-mark hk-photo-${mark.kind}`, { title: mark.words });
      place(box, mark);
      const tell = () => { said.textContent = mark.words; };
      box.addEventListener("pointerenter", tell);
      box.addEventListener("pointerdown", tell);
      box.addEventListener("pointerleave", () => { said.textContent = model.get("words"); });
      over.append(box);
    }
    for (const one of model.get("pointed")) {
      const box = make("div", "hk-photo-mark hk-photo-pointed");
      place(box, one);
      over.append(box);
    }
  }
  function show() {
    const source = model.get("picture");
    body.hidden = !source;
    if (source && image.src !== source) image.src = source;
    image.alt = model.get("spoken");
    frame.hidden = !model.get("framing");
    picture.classList.toggle("hk-photo-framing", model.get("framing"));
    said.textContent = model.get("words");
    showFrame(model.get("frame"));
    showMarks();
  }
  const names = ["change:picture", "change:framing", "change:frame", "change:words", "change:spoken"];
  for (const name of names) model.on(name, show);
  model.on("change:marks", showMarks);
  model.on("change:pointed", showMarks);
  show();
  return () => {
    for (const name of names) model.off(name, show);
    model.off("change:marks", showMarks);
    model.off("change:pointed", showMarks);
  };
}

export default { render };
