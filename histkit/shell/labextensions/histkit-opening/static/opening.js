// Runs a notebook of histkit when it is opened in JupyterLab, so that nobody has to know of 'Run All Cells'.
// Only where every cell of code is one that histkit ships: a call of one of its panels. Other code is never run unasked.
(() => {
  const OURS = /^# The code of this page: nothing to do here\.\nfrom histkit\.panels import (\w+)\n\n\1\(\)\s*$/;
  const WIDGETS = "application/vnd.jupyter.widget-view+json";
  const TRIALS = 5;
  const seen = new WeakSet();

  const pause = (milliseconds) => new Promise((resolve) => { setTimeout(resolve, milliseconds); });
  const atMost = (milliseconds, promise) => Promise.race([promise, pause(milliseconds)]);

  function isOurs(panel) {
    const cells = panel.content.model?.sharedModel?.cells ?? [];
    const code = cells.filter((cell) => cell.cell_type === "code").map((cell) => cell.getSource());
    return code.length > 0 && code.every((source) => OURS.test(source));
  }

  // What draws fields first asks the kernel for the fields of an earlier visit. New ones that come in the middle of that are lost
  // on a busy machine, so its work is awaited; where it cannot be asked, or does not end, the page is run all the same.
  async function fieldsRestored(panel) {
    const renderer = panel.content.rendermime.createRenderer(WIDGETS);
    const manager = await atMost(5000, renderer._manager?.promise);
    if (manager?.restored && !manager.restoredStatus) {
      await atMost(10000, new Promise((resolve) => { manager.restored.connect(resolve); }));
    }
    renderer.dispose();
  }

  const shown = (panel) => panel.node.querySelector(".jp-OutputArea .jupyter-widgets") !== null;

  async function run(app, panel) {
    if (!panel?.sessionContext || !panel.content || !panel.context?.ready || seen.has(panel)) return;
    seen.add(panel);
    await panel.context.ready;
    if (!isOurs(panel)) return;
    await panel.sessionContext.ready;
    await panel.revealed;
    for (let trial = 0; trial < TRIALS && !panel.isDisposed && !shown(panel); trial += 1) {
      if (trial > 0) await pause(1000);
      const kernel = panel.sessionContext.session?.kernel;
      if (!kernel) continue;
      await atMost(60000, kernel.info);
      await fieldsRestored(panel);
      if (app.shell.currentWidget !== panel) { seen.delete(panel); return; } // when it comes to the front
      await app.commands.execute("notebook:run-all-cells"); // does nothing where the page is not yet known as the one in front
      panel.content.activeCellIndex = 0;
      panel.content.scrollToItem?.(0);
      for (let tenths = 0; tenths < 50 && !panel.isDisposed && !shown(panel); tenths += 1) await pause(100);
    }
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
