// Makes JupyterLab a page to read: a lesson of the workbook runs by itself when it is opened, and again after
// its kernel was restarted; one bar above it leads to the other lessons. Written by hand for JupyterLab 4: no
// build step.
(() => {
  let shared;
  const HERE = document.currentScript.src;
  const SHOW_AT_ONCE = new URLSearchParams(location.search).has("show"); // the address soon changes
  const SHOW_KEY = "F8";
  const module = async (name) => (await Object.values(shared[name])[0].get())();

  // The mark alone would let any notebook run unasked: it must also have a lesson's name.
  const NAME = /^\d\d_[a-z_]+\.ipynb$/;
  const SAVE_EVERY_MS = 10_000;
  const isLesson = ({ context }) =>
    context.model.getMetadata("mixing_workbook") === true && NAME.test(context.path);
  const isCode = (cell) => cell.model.type === "code" && cell.model.sharedModel.getSource().trim();
  const inWords = (path) => path.slice(0, 2) + " " + path.slice(3, -6).replaceAll("_", " ");

  // One save after the other: two at once would each find that the file has changed.
  let saving = Promise.resolve();
  const save = ({ context }) => (saving = saving.then(() => context.save()).catch(() => {}));

  // Cells are executed one by one, not by the menu's command, so that the page stays where the reader is.
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
    await save(panel); // so that closing the page asks nothing
  }

  async function open(panel, bar, show) {
    if (!panel?.context || !panel.sessionContext) return;
    await panel.context.ready;
    if (!isLesson(panel)) return;
    bar.of(panel);
    if (show.atOnce) show.begin(panel, true);
    show.atOnce = false;
    await panel.sessionContext.ready;
    const saver = setInterval(() => panel.context.model.dirty && save(panel), SAVE_EVERY_MS);
    panel.disposed.connect(() => clearInterval(saver));
    let restarted = false;
    panel.sessionContext.statusChanged.connect((_, status) => {
      if (status === "restarting" || status === "autorestarting") restarted = true;
      else if (restarted && status === "idle") {
        restarted = false;
        run(panel);
      }
    });
    document.addEventListener("mixing-run-again", () => panel.isVisible && run(panel));
    await run(panel);
  }

  // The bar: the lessons, one to each side, the code, and the page once more.
  function makeBar(app, show) {
    const nav = document.createElement("nav");
    nav.id = "mixing-bar";
    nav.setAttribute("aria-label", "Lessons");
    const button = (words, act) => {
      const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
      made.addEventListener("click", act);
      return nav.appendChild(made);
    };
    let panel, lessons = [];
    const leave = async (path) => {
      if (!path) return;
      const left = panel;
      await save(left);
      await app.commands.execute("docmanager:open", { path });
      await left.sessionContext.shutdown();
      left.dispose();
    };
    const beside = (step) => lessons[lessons.indexOf(panel.context.path) + step];
    const back = button("‹ Lesson before", () => leave(beside(-1)));
    const list = nav.appendChild(document.createElement("select"));
    list.setAttribute("aria-label", "Lesson");
    list.addEventListener("change", () => leave(list.value));
    const next = button("Next lesson ›", () => leave(beside(1)));
    const code = button("Show the code", () => {
      const shown = code.getAttribute("aria-pressed") === "true";
      code.setAttribute("aria-pressed", String(!shown));
      for (const cell of panel.content.widgets) if (cell.model.type === "code") cell.inputHidden = shown;
    });
    button("Show to a room", () => show.begin(panel)).title = SHOW_KEY;
    document.addEventListener("keydown", (event) => event.key === SHOW_KEY && show.begin(panel));
    button("Run the page again", () => panel.sessionContext.session.kernel.restart());
    const height = new ResizeObserver(() => {
      document.body.style.setProperty("--mixing-bar", `${nav.offsetHeight}px`); // two rows on a narrow page
    });
    nav.of = async (shown) => {
      panel = shown;
      document.body.classList.add("mixing-page");
      if (!nav.isConnected) document.body.prepend(nav);
      height.observe(nav);
      const folder = await app.serviceManager.contents.get("");
      lessons = folder.content.map((file) => file.path).filter((path) => NAME.test(path)).sort();
      list.replaceChildren(...lessons.map((path) => new Option(inWords(path), path)));
      list.value = panel.context.path;
      back.disabled = !beside(-1);
      next.disabled = !beside(1);
      code.setAttribute("aria-pressed", "false");
    };
    return nav;
  }

  const LOOK = `
    .jp-cell-toolbar, .jp-SideBar { display: none !important; }
    #mixing-bar { position: fixed; inset: 0 0 auto; z-index: 20; display: flex; flex-wrap: wrap; gap: 8px;
      padding: 6px 12px; background: #f3f5f7; border-bottom: 1px solid #6b7785; font: 14px sans-serif; }
    #mixing-bar :is(button, select) { font: inherit; padding: 4px 10px; color: #14202b; background: #fff;
      border: 1px solid #6b7785; border-radius: 4px; }
    #mixing-bar button:disabled { color: #6b7785; border-color: #c3cad1; }
    #mixing-bar [aria-pressed="true"] { font-weight: bold; border-width: 2px; }
    #mixing-bar :focus-visible { outline: 3px solid #0b62c4; outline-offset: 1px; }
    .mixing-page :is(#jp-top-panel, #jp-menu-panel, #jp-bottom-panel, .jp-NotebookPanel-toolbar, .jp-InputPrompt,
      .jp-OutputPrompt, .jp-OutputArea-promptOverlay, .jp-Notebook-footer) { display: none !important; }
    .mixing-page :is(#jp-main-content-panel, #jp-main-vsplit-panel, #jp-main-split-panel, #jp-main-dock-panel,
      .jp-NotebookPanel) { inset: 0 !important; width: 100vw !important; height: 100vh !important; border: 0; }
    .mixing-page .jp-Notebook { inset: var(--mixing-bar) 0 0 !important; width: 100vw !important;
      height: calc(100vh - var(--mixing-bar)) !important; box-shadow: none; }
    .mixing-page .jp-WindowedPanel-outer { box-sizing: border-box;
      padding: 8px max(12px, calc(50vw - 700px)) 60px !important; }
    .mixing-page .jp-InputPlaceholder .jp-PlaceholderText { font-size: 0; }
    .mixing-page .jp-InputPlaceholder .jp-PlaceholderText::before { content: "code"; font: 12px sans-serif; }`;

  const plugin = {
    id: "mixlib-open:plugin",
    autoStart: true,
    activate: async (app) => {
      const opened = new WeakSet();
      document.head.append(Object.assign(document.createElement("style"), { textContent: LOOK }));
      document.head.append(Object.assign(document.createElement("link"), { rel: "stylesheet", href: new URL("show.css", HERE) }));
      const show = Object.assign((await import(new URL("show.js", HERE))).makeShow(), { atOnce: SHOW_AT_ONCE });
      const bar = makeBar(app, show);
      const look = (panel) => {
        if (!panel || opened.has(panel)) return;
        opened.add(panel);
        open(panel, bar, show);
      };
      app.restored.then(() => {
        look(app.shell.currentWidget);
        app.shell.currentChanged.connect((_, change) => look(change.newValue));
      });
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["mixlib-open"] = {
    init: (scope) => { shared = scope; },
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
