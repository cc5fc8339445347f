// A lesson as it is shown to a room: one screen at a time, in large letters, by keyboard or a presenter's clicker.
// The lesson's own cells are shown, the others hidden, so that panels go on as they stand.  A cell tagged `step`
// begins a step; what is tagged `answer` waits for its key, what is tagged `note` is for the presenter alone, and
// steps tagged `twenty` make the short order.  In a lesson without steps each panel or question is one.
const LEAST = 22 / 12;                 // px of the screen a px of the panels, whose letters are never below 12 px
const LAYOUT = { width: 696, height: 390 }; // px of the panels that fill a window, if letters then are not too small
const TEXT = [26, 22, 19, 16, 14, 12]; // px of the panels: the largest letters of a text with which it fits
const CONTROL = ".mix-card :is(.noUi-handle, select, button, input:not([type=radio]), input[type=radio]:checked)";
const ROW = ".widget-radio";           // with nothing chosen yet, its first choice takes the keys
const CROWDED = 85, TALL = 110;        // px of the panels: controls higher than this are shown by groups; leave no picture
const IN_A_ROW = 4;                    // sliders
const STRIDE = 150;                    // px of the panels that a key moves a long table
const LONG = 300;                      // letters of a sentence from which it is set smaller
const NOTHING = { running: "One moment: the lesson is being made ready.", ready: "There is nothing to show in this lesson." };
const PRESSED = { a: "Keep A", b: "Swap A and B", c: "Let A go", 0: "Back to the start" };
const KEYS = [
  ["Page down, →", "on"], ["Page up, ←", "back"], ["S", "skip to the next step"], ["Home, End", "first, last step"],
  ["Enter", "the answer, and back"], ["↓ ↑", "choose a control; then ← → move it, with Shift to its middle and ends"],
  ["Space", "play, press, choose"], ["T", "the table instead of the picture"], ["A", "keep this as A"],
  ["B", "swap A and B"], ["C", "let A go"], ["0", "the panel as it began"], ["Esc", "back to the page"],
  ["F11", "the browser's frame away"],
];

const made = (kind, parent, words = "") =>
  parent.appendChild(Object.assign(document.createElement(kind), { textContent: words }));
const tagsOf = (cell) => cell.model.getMetadata("tags") ?? [];
const isText = (cell) => cell.model.type === "markdown";
const isCard = (cell) => Boolean(cell.node.querySelector(":is(.mix-panel, .mix-exercise, .mix-fit)"));
const shows = (cell) => [...cell.node.querySelectorAll(".jp-OutputArea-output")].some(
  (output) => output.textContent.trim() || output.querySelector("img, svg, .jupyter-widgets"));
const plain = (text) => text.replace(/[*_`#]/g, "").trim();
const headingOf = (source) => source.match(/^#+ .+$/gm)?.at(-1);

// Every screen in its order, each with the step that it belongs to.
function screensOf(cells) {
  const tagged = cells.some((cell) => tagsOf(cell).includes("step")), screens = [];
  let heading = "", step = null, number = 0;
  for (const cell of cells) {
    const tags = tagsOf(cell), source = isText(cell) ? cell.model.sharedModel.getSource() : "";
    heading = headingOf(source) ?? heading;
    if (tagged ? tags.includes("step") : isCard(cell)) {
      const words = tagged ? headingOf(source) ?? source.trim().split("\n")[0] : heading;
      step = { number: (number += 1), caption: plain(words), twenty: tags.includes("twenty") };
    }
    const seen = isText(cell) ? tagged : tagged ? shows(cell) : isCard(cell);
    if (!step || !seen || tags.includes("note")) continue;
    const answer = tags.includes("answer"), last = screens.at(-1);
    const joins = isText(cell) && last?.text && last.step === step && last.answer === answer;
    if (joins) last.cells.push(cell); else screens.push({ step, answer, text: isText(cell), cells: [cell] });
  }
  return screens;
}

export function makeShow() {
  let panel = null, here = null, brief = false, asking = false;
  const root = Object.assign(document.createElement("section"), { id: "mixing-show", tabIndex: -1 });
  root.setAttribute("aria-label", "Shown to a room");
  const caption = made("h2", root), order = made("div", root), help = made("dl", root), foot = made("p", root);
  order.className = "mixing-order";
  const count = made("span", foot), others = made("span", foot);
  made("span", foot, "H: the keys");
  for (const [keys, deed] of KEYS) { made("dt", help, keys); made("dd", help, deed); }

  const port = () => panel.content.node.querySelector(".jp-WindowedPanel-outer");
  const every = () => screensOf(panel.content.widgets);
  const screens = () => every().filter(({ step }) => !brief || step.twenty);
  const at = (list) => Math.max(0, list.findIndex(({ cells }) => cells.includes(here)));
  const now = () => { const list = screens(); return asking ? null : list[at(list)]; };
  const card = () => now()?.cells[0].node.querySelector(".mix-card");
  const frame = () => card()?.querySelector(".mix-panel:not(.mix-fit)");
  const button = (words) => [...(card()?.querySelectorAll("button") ?? [])].find(
    (one) => one.textContent === words && one.style.display !== "none");

  const size = () => {
    const scale = Math.max(LEAST, Math.min(innerWidth / LAYOUT.width, innerHeight / LAYOUT.height));
    document.body.style.setProperty("--mixing-scale", scale);
    for (const text of port().querySelectorAll(".mixing-on pre")) { // printed words are no table, whose columns must stand
      text.classList.toggle("mixing-words", !/\S {2,}\S/.test(text.textContent));
    }
    for (const letters of TEXT) {
      document.body.style.setProperty("--mixing-text", `${letters}px`);
      const wide = [port(), ...port().querySelectorAll(".mixing-on :is(pre, table)")];
      if (port().scrollHeight <= port().clientHeight && wide.every((part) => part.scrollWidth <= part.clientWidth + 1)) break;
    }
  };
  // Many controls are shown by groups: a row of sliders, or one other.  Those that are not seen are named below.
  const named = (part) => {
    if (part.matches(".mix-wide")) return "numbers";
    const chosen = part.querySelector(".widget-radio-box :checked")?.closest("label").textContent.trim();
    return [part.querySelector(".widget-label")?.textContent, chosen].filter(Boolean).join(" ");
  };
  const group = (chosen) => {
    const parts = [...(frame()?.querySelector(".mix-controls")?.children ?? [])];
    const sliders = parts.filter((part) => part.matches(".mix-slider"));
    const row = (part) => (sliders.includes(part) ? Math.floor(sliders.indexOf(part) / IN_A_ROW) : part);
    const lead = parts.find((part) => part.contains(chosen)) ?? sliders[0] ?? parts.find((part) => part.matches(ROW)) ?? parts[0];
    frame()?.classList.remove("mixing-few", "mixing-tall");
    for (const part of parts) part.classList.toggle("mixing-unseen", row(part) !== row(lead));
    if (!lead || lead.parentElement.offsetHeight <= CROWDED) return;
    frame().classList.add("mixing-few");
    frame().classList.toggle("mixing-tall", lead.parentElement.offsetHeight > TALL);
  };
  const tell = () => {
    const unseen = frame()?.matches(".mixing-few") ? frame().querySelectorAll(".mixing-unseen") : [];
    const title = card()?.querySelector(".mix-head h3")?.textContent, rest = [...unseen].map(named).join(", ");
    others.textContent = [title, rest && `↓ ${rest}`].filter(Boolean).join("  "); // it says whose model this is
    frame()?.classList.toggle("mixing-long", frame().querySelector(".mix-said").textContent.length > LONG);
    if (!frame()) size(); // a question has got its answer
  };
  const changes = new MutationObserver(tell); // whatever is moved, the panel has a new picture or sentence
  const render = () => {
    const shown = now(), list = every(), steps = new Set(screens().map(({ step }) => step));
    for (const cell of panel.content.widgets) cell.node.classList.toggle("mixing-on", Boolean(shown?.cells.includes(cell)));
    root.classList.toggle("mixing-text", !shown || (shown.text && !shown.answer));
    caption.textContent = shown ? shown.step.caption : asking ? "" : NOTHING[document.body.dataset.mixing];
    count.textContent = shown ? `${[...steps].findIndex(({ number }) => number === shown.step.number) + 1} of ${steps.size}` : "";
    order.hidden = !asking;
    if (asking) {
      const many = (wanted) => `${new Set(list.map(({ step }) => step).filter(wanted)).size} steps`;
      order.replaceChildren();
      made("h1", order, plain(headingOf(panel.content.widgets[0].model.sharedModel.getSource()) ?? ""));
      made("p", order, `2: twenty minutes, ${many(({ twenty }) => twenty)}`);
      made("p", order, `6: the hour, ${many(() => true)}`);
    }
    changes.disconnect();
    if (card()) changes.observe(card(), { childList: true, subtree: true });
    frame()?.classList.remove("mixing-table");
    size();
    group();
    tell();
    port().scrollTop = 0;
    root.focus();
  };
  const go = (screen) => {
    if (screen) here = screen.cells[0];
    render();
  };
  const inOrder = (short) => {
    asking = false;
    brief = short;
    go(screens()[0]);
  };
  const canAsk = () => every().some(({ step }) => step.twenty);

  const move = (way) => {
    if (asking) { if (way > 0) inOrder(false); return; }
    const list = screens(), to = at(list) + way;
    if (to < 0 && canAsk()) { asking = true; render(); } else if (list[to]) go(list[to]);
  };
  const skip = () => {
    const { step } = now() ?? {};
    if (step) go(screens().find((one) => one.step.number > step.number));
  };
  const toEnd = (last) => {
    if (!last && canAsk()) { asking = true; render(); return; }
    const list = screens(), { number } = list.at(-1)?.step ?? {};
    asking = false;
    go(last ? list.find(({ step }) => step.number === number) : list[0]);
  };
  const answered = new WeakSet();
  const answer = () => {
    const shown = now(), buttons = [...(card()?.querySelectorAll(".mix-exercise button") ?? [])];
    const asked = buttons.find((one) => one.textContent === "Show the answer");
    if (asked && !answered.has(asked)) {
      answered.add(asked);
      asked.click(); // it waits there unseen until one has tried
      return;
    }
    const step = screens().filter((one) => one.step.number === shown?.step.number);
    const screen = shown?.answer ? step.findLast((one) => !one.answer) : step.find((one) => one.answer);
    if (screen) go(screen);
  };
  const controls = () => {
    const parts = [...(now()?.cells ?? [])].flatMap((cell) => [...cell.node.querySelectorAll(CONTROL)]);
    const empty = card() ? [...card().querySelectorAll(ROW)].filter((row) => !row.querySelector(":checked")) : [];
    parts.push(...empty.map((row) => row.querySelector("input")).filter(Boolean));
    const few = frame()?.classList.contains("mixing-few");
    if (few) frame().classList.remove("mixing-few");
    parts.sort((one, other) => (one.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING ? -1 : 1));
    const found = parts.filter((part) => part.checkVisibility() && !part.disabled);
    if (few) frame().classList.add("mixing-few");
    return found;
  };
  const choose = (way) => {
    if (frame()?.matches(".mixing-table")) { port().scrollBy(0, way * STRIDE); return; }
    const all = controls(), from = all.indexOf(document.activeElement);
    const chosen = all.at(from < 0 ? (way > 0 ? 0 : -1) : (from + way) % all.length);
    group(chosen);
    tell();
    chosen?.focus();
  };
  // To the middle if that lies on the way, else to the end.
  const slideFar = (handle, way) => {
    const slider = handle.closest(".noUi-target").noUiSlider, { range } = slider.options, value = Number(slider.get());
    slider.set(value * way < 0 && range.min < 0 ? 0 : way < 0 ? range.min : range.max);
  };
  const press = (found) => { found?.click(); return Boolean(found); };

  // True where the key was the show's; every other is left to what has the focus.
  const act = (key, shift, target) => {
    if (key === "PageDown") return move(1), true;
    if (key === "PageUp") return move(-1), true;
    const typing = target.matches("select, textarea, input:not([type=radio], [type=checkbox])");
    if (key === "Escape") {
      if (typing) root.focus(); else if (!help.hidden) help.hidden = true; else leave();
      return true;
    }
    const way = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[key];
    if (/Arrow(Up|Down)/.test(key) && !target.matches(".mix-grid input, select")) return choose(way), true;
    if (typing) return false;
    if (way && target.matches(".noUi-handle")) return shift && (slideFar(target, way), true);
    if (way && target.matches("input")) return false;
    if (way) return move(way), true;
    if (key === "Home" || key === "End") return toEnd(key === "End"), true;
    if (key === "Enter") return !target.matches("button") && (answer(), true);
    if (key === " ") return !target.matches("button, input") && (press(card()?.querySelector(".mix-play button")), true);
    if (asking && /[26]/.test(key)) return inOrder(key === "2"), true;
    const letter = key.toLowerCase();
    if (letter === "s") return skip(), true;
    if (letter === "t" && frame()?.querySelector(".mix-extra:not(:empty)")) return frame().classList.toggle("mixing-table"), true;
    if (letter === "h" || key === "?") return (help.hidden = !help.hidden), true;
    return letter in PRESSED && press(button(PRESSED[letter]));
  };
  const onKey = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !act(event.key, event.shiftKey, event.target)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
  };

  const keepShut = (event) => event.stopImmediatePropagation(); // a double click would open a text for change

  // Where the page was left, if that is still in sight; else the first screen of which the page shows a part.
  const nearest = () => {
    const { top, bottom } = port().getBoundingClientRect(), list = screens();
    const inSight = ({ cells }) => {
      const box = cells.at(-1).node.getBoundingClientRect();
      return box.bottom > top + 40 && box.top < bottom;
    };
    return list.find((screen) => screen.cells.includes(here) && inSight(screen)) ?? list.find(inSight) ?? list[0];
  };
  const ready = new MutationObserver(() => go(now())); // what a cell shows is there once it has run
  const begin = (shown, fromTheTop = false) => {
    if (panel || !shown) return;
    panel = shown;
    const screen = fromTheTop ? screens()[0] : nearest();
    asking = canAsk() && screen.cells[0] === every()[0].cells[0];
    brief = false;
    help.hidden = true;
    document.body.append(root);
    document.body.classList.add("mixing-shown");
    port().dataset.mixPort = "";
    addEventListener("keydown", onKey, true); // before the notebook has its keys
    addEventListener("dblclick", keepShut, true);
    addEventListener("resize", size);
    ready.observe(document.body, { attributeFilter: ["data-mixing"] });
    go(screen);
  };
  const leave = () => {
    const shown = now()?.cells[0];
    removeEventListener("keydown", onKey, true);
    removeEventListener("dblclick", keepShut, true);
    removeEventListener("resize", size);
    ready.disconnect();
    changes.disconnect();
    document.body.classList.remove("mixing-shown");
    delete port().dataset.mixPort;
    root.remove();
    panel = null;
    shown?.node.scrollIntoView();
  };
  return { begin };
}
