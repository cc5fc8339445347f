// Runs a lesson of the workbook when its page is opened, and again after its kernel was restarted.
// Written by hand for JupyterLab 4: no build step. Cells are executed one by one, not by the menu's command,
// so that the page stays where the reader is.
(() => {
  let shared;
  const module = async (name) => (await Object.values(shared[name])[0].get())();

  // The mark alone would let any notebook run unasked: it must also have a lesson's name.
  const isLesson = ({ context }) =>
    context.model.getMetadata("mixing_workbook") === true && /^\d\d_[a-z_]+\.ipynb$/.test(context.path);
  const isCode = (cell) => cell.model.type === "code" && cell.model.sharedModel.getSource().trim();

  async function run(panel) {
    const { CodeCell } = await module("@jupyterlab/cells");
    document.body.dataset.mixing = "running";
    for (const cell of panel.content.widgets.filter(isCode)) {
      if (panel.isDisposed) return;
      cell.model.trusted = true;
      const reply = await CodeCell.execute(cell, panel.sessionContext, { deletedCells: [], recordTiming: false });
      if (reply?.content.status !== "ok") break;
    }
    document.body.dataset.mixing = "ready";
    await panel.context.save(); // so that closing the page asks nothing
  }

  async function open(panel, opened) {
    if (!panel?.context || !panel.sessionContext || opened.has(panel)) return;
    opened.add(panel);
    await panel.context.ready;
    if (!isLesson(panel)) return;
    await panel.sessionContext.ready;
    let restarted = false;
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (status === "restarting" || status === "autorestarting") restarted = true;
      else if (restarted && status === "idle") {
        restarted = false;
        run(panel);
      }
    });
    await run(panel);
  }

  const plugin = {
    id: "mixlib-open:plugin",
    autoStart: true,
    activate: (app) => {
      const opened = new WeakSet();
      const look = document.createElement("style");
      look.textContent = ".jp-cell-toolbar, .jp-SideBar { display: none !important; }";
      document.head.append(look);
      app.restored.then(() => {
        open(app.shell.currentWidget, opened);
        app.shell.currentChanged.connect((_, change) => open(change.newValue, opened));
      });
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["mixlib-open"] = {
    init: (scope) => { shared = scope; },
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
