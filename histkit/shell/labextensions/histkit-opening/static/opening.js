// Runs a notebook of histkit when it is opened in JupyterLab, so that nobody has to know of 'Run All Cells'.
// Only where every cell of code is one that histkit ships: a call of one of its panels. Other code is never run unasked.
(() => {
  const OURS = /^# The code of this page: nothing to do here\.\nfrom histkit\.panels import (\w+)\n\n\1\(\)\s*$/;
  const seen = new WeakSet();

  function isOurs(panel) {
    const cells = panel.content.model?.sharedModel?.cells ?? [];
    const code = cells.filter((cell) => cell.cell_type === "code").map((cell) => cell.getSource());
    return code.length > 0 && code.every((source) => OURS.test(source));
  }

  async function run(app, panel) {
    if (!panel?.sessionContext || !panel.content || !panel.context?.ready || seen.has(panel)) return;
    seen.add(panel);
    await panel.context.ready;
    if (!isOurs(panel)) return;
    await panel.sessionContext.ready;
    const kernel = panel.sessionContext.session?.kernel;
    if (!kernel) return;
    await kernel.info;
    await panel.revealed;
    if (app.shell.currentWidget !== panel) { seen.delete(panel); return; } // when it comes to the front
    await app.commands.execute("notebook:run-all-cells");
    panel.content.activeCellIndex = 0;
    panel.content.scrollToItem?.(0);
  }

  const plugin = {
    id: "histkit-opening:plugin",
    autoStart: true,
    requires: [],
    activate: (app) => {
      const look = () => { run(app, app.shell.currentWidget).catch((error) => console.warn("histkit:", error)); };
      app.shell.currentChanged?.connect(look);
      app.restored.then(look);
    },
  };

  const jupyterlab = (window._JUPYTERLAB = window._JUPYTERLAB || {});
  jupyterlab["histkit-opening"] = { init: () => undefined, get: async () => () => ({ __esModule: true, default: plugin }) };
})();
