// Signs that few keyboards have, put where the cursor stood last in a field of the same panel.
// What is being typed stays: a value that the program sends meanwhile, as when another text empties the fields of its book, does not
// reach the field before it is left, and then only where nothing else was typed.
function keepsWhatIsTyped(field) {
  if (Object.hasOwn(field, "value")) return;
  const { get } = Object.getOwnPropertyDescriptor(Object.getPrototypeOf(field), "value");
  let held = null;
  Object.defineProperty(field, "value", { configurable: true, get, set: (value) => { held = value; } });
  const left = (event) => {
    for (const kind of ["change", "blur"]) field.removeEventListener(kind, left, true);
    delete field.value;
    if (event.type === "blur" && held !== null && held !== field.value) field.dispatchEvent(new Event("change", { bubbles: true }));
  };
  for (const kind of ["change", "blur"]) field.addEventListener(kind, left, true);
}

function render({ model, el }) {
  const bar = document.createElement("div");
  bar.className = "hk-signs";
  bar.setAttribute("role", "toolbar");
  bar.setAttribute("aria-label", "Put a sign into the text");
  bar.setAttribute("data-lm-suppress-shortcuts", "true");
  el.append(bar);
  const panel = () => el.closest(".histkit-panel") || document;
  const writes = (field) => field instanceof HTMLTextAreaElement || (field instanceof HTMLInputElement && field.type === "text");
  let last = null;
  const noted = (event) => { if (writes(event.target) && panel().contains(event.target)) last = event.target; };
  document.addEventListener("focusin", noted);
  const typed = (event) => { if (event.isTrusted && writes(event.target) && panel().contains(event.target)) keepsWhatIsTyped(event.target); };
  document.addEventListener("input", typed, true);

  function put(sign) {
    const field = last && last.isConnected ? last : panel().querySelector("textarea");
    if (!field || field.disabled) return;
    if (field !== last) field.setSelectionRange(field.value.length, field.value.length);
    field.focus();
    // The browser's own way of typing: its undo knows of it, and the field tells its panel when it is left.
    if (document.execCommand("insertText", false, sign)) return;
    field.setRangeText(sign, field.selectionStart, field.selectionEnd, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.addEventListener("blur", () => field.dispatchEvent(new Event("change", { bubbles: true })), { once: true });
  }
  const buttons = model.get("signs").map(([sign, name], n) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = sign;
    button.title = name;
    button.setAttribute("aria-label", name);
    button.tabIndex = n ? -1 : 0; // one stop of the Tab key; the arrow keys go from sign to sign
    button.addEventListener("pointerdown", (event) => event.preventDefault()); // the cursor stays in the text
    button.addEventListener("click", () => put(sign));
    return button;
  });
  bar.append(...buttons);
  bar.addEventListener("keydown", (event) => {
    const way = { ArrowRight: 1, ArrowLeft: -1 }[event.key], here = buttons.indexOf(document.activeElement);
    if (!way || here < 0) return;
    event.preventDefault();
    const next = buttons[(here + way + buttons.length) % buttons.length];
    buttons.forEach((button) => { button.tabIndex = button === next ? 0 : -1; });
    next.focus();
  });
  return () => {
    document.removeEventListener("focusin", noted);
    document.removeEventListener("input", typed, true);
  };
}

export default { render };
