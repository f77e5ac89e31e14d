// A button that chooses a file and hands its bytes over piece by piece: a whole photograph may be too large for one message.
const PIECE = 2_000_000; // bytes

function render({ model, el }) {
  const button = document.createElement("button"), input = document.createElement("input");
  button.type = "button";
  button.className = "jupyter-button hk-choose";
  input.type = "file";
  input.hidden = true;
  input.tabIndex = -1;
  input.setAttribute("aria-hidden", "true");
  const show = () => {
    button.textContent = model.get("words");
    input.setAttribute("aria-label", model.get("words"));
    input.accept = model.get("accept");
  };
  button.addEventListener("click", () => input.click());
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file) return;
    button.setAttribute("aria-busy", "true");
    model.send({ begins: file.name, size: file.size });
    for (let at = 0; at < file.size; at += PIECE) {
      model.send({ at }, undefined, [await file.slice(at, at + PIECE).arrayBuffer()]);
    }
    model.send({ ends: file.name });
    button.removeAttribute("aria-busy");
    input.value = ""; // so that the same file can be chosen again
  });
  el.append(button, input);
  model.on("change:words", show);
  show();
  return () => model.off("change:words", show);
}

export default { render };
