// The page's side of `Stage`: shows what the kernel sends, tells the kernel the room that a picture has, and says
// for the ear what is seen.
const LEAST = { width: 300, height: 180 };  // px; a picture cannot be laid out for less
const LINES = 3;                            // of the sentence, for which there is always room
const EDGE = 8;                             // px below a panel that is as high as the page can show
const PAUSE = 600;                          // ms without a change before a sentence is spoken: a slider is held
const UNITS = { "%": "percent", deg: "degrees", mm: "millimetres", m: "metres", "m/s": "metres per second", s: "seconds" };

const scroller = (element) => {
  for (let up = element.parentElement; up; up = up.parentElement) {
    if ("mixPort" in up.dataset) return up; // a page that names it: all of a panel may be seen there without a scroll bar
    if (up.scrollHeight > up.clientHeight && /auto|scroll/.test(getComputedStyle(up).overflowY)) return up;
  }
  return document.scrollingElement;
};
// The name of an ipywidgets slider does not reach what takes the keys, nor does its unit.
const nameSlider = (slider) => {
  const handle = slider.querySelector(".noUi-handle"), readout = slider.querySelector(".widget-readout");
  if (!handle || !readout) return;
  const [name, unit] = [...slider.querySelectorAll(".widget-label")].map((label) => label.textContent);
  const ends = [...slider.querySelectorAll(".mix-ends span")].map((end) => end.textContent);
  const value = Number(handle.ariaValueNow), end = handle.ariaValueMin < 0 && value ? ends[value < 0 ? 0 : 1] : "";
  const words = [`${readout.textContent} ${UNITS[unit] ?? unit ?? ""}`.trim(), end].filter(Boolean).join(", ");
  if (handle.ariaLabel !== name) handle.ariaLabel = readout.ariaLabel = name;
  if (handle.ariaValueText !== words) handle.ariaValueText = words; // only what differs: this is called at each change
  readout.role = "textbox";
};
// The choices of a row do not know that they belong together: then the arrow keys do not go from one to the next.
const groupChoices = (row) => {
  const label = row.querySelector(".widget-label")?.textContent, head = row.closest(".mix-card").querySelector(".mix-head");
  Object.assign(row, { id: row.id || `mix-${Math.random()}`, role: "radiogroup", ariaLabel: label || head.textContent });
  row.querySelectorAll("input").forEach((choice) => { choice.name = row.id; });
};
const nameParts = (card) => {
  card.querySelectorAll(".mix-slider").forEach(nameSlider);
  card.querySelectorAll(".widget-radio").forEach(groupChoices);
};
const stepOf = (element) => [...element?.classList ?? []].find((name) => name.startsWith("mix-step-"))?.slice("mix-step-".length);
// A slider holds any number that is typed, or set by the kernel; only the keys and the hand move it in steps.
const SLIDES = { ArrowUp: 1, ArrowRight: 1, PageUp: 5, ArrowDown: -1, ArrowLeft: -1, PageDown: -5 };
const stepSlider = (event) => {
  const way = SLIDES[event.key], step = stepOf(event.target.closest(".mix-slider"));
  if (!way || !step || !event.target.matches(".noUi-handle") || event.ctrlKey || event.altKey || event.metaKey) return;
  const track = event.target.closest(".noUi-target").noUiSlider;
  event.preventDefault();
  event.stopPropagation();
  track.set(Number((track.get() + way * step).toFixed(6)));
};
const stepHand = (event) => {
  const track = event.target.closest(".mix-slider .noUi-target");
  if (!track) return;
  const inSteps = (step) => track.noUiSlider.updateOptions({ step }, false);
  inSteps(Number(stepOf(track.closest(".mix-slider"))));
  ["pointerup", "pointercancel"].forEach((end) => addEventListener(end, () => inSteps(0), { once: true }));
};
// The arrow keys step a number in a grid; it is typed text, so that a comma, a unit and any minus can be typed.
const stepNumber = (event) => {
  const way = { ArrowUp: 1, ArrowDown: -1 }[event.key], entry = event.target;
  const grid = way && entry.matches(".mix-grid input") && entry.closest(".mix-grid");
  const step = grid && stepOf(grid);
  const now = Number(entry.value?.trim().replace(/[−–]/, "-").replace(",", "."));
  if (!step || Number.isNaN(now)) return;
  event.preventDefault();
  entry.value = String(Number((now + way * step).toFixed(6))).replace("-", "−");
  entry.dispatchEvent(new Event("change", { bubbles: true }));
};
// A slider's value waits until the kernel has done with the one before; a button's press does not, and would overtake it.
const tellSliders = (event, model) => {
  if (!event.target.closest("button")) return;
  const tracks = [...event.currentTarget.querySelectorAll(".mix-slider .noUi-target")];
  if (tracks.length) model.send({ sliders: tracks.map((track) => track.noUiSlider.get()) });
};
// A key without Ctrl, Alt or Cmd is for the panel: the notebook around it would move on, or cut the cell.
const keepKey = (event) => {
  if (!event.ctrlKey && !event.altKey && !event.metaKey) event.stopPropagation();
};
// One place on the page speaks for all panels.  It stays and only its words change, else they are not spoken.
const speaker = () => document.getElementById("mix-spoken") ?? document.body.appendChild(
  Object.assign(document.createElement("div"), { id: "mix-spoken", role: "status" }));
const speak = (lines) => {
  const place = speaker();
  clearTimeout(place.waiting);
  place.waiting = setTimeout(() => { place.textContent = lines.map((line) => line.textContent).join(" "); }, PAUSE);
};

export default {
  render({ model, el }) {
    const box = (name, parent) => {
      const made = parent.appendChild(document.createElement("div"));
      made.className = `mix-${name}`;
      return made;
    };
    const view = box("view", el), picture = box("picture", view), said = box("said", view);
    const extra = box("extra", model.get("apart") ? el : view);
    for (const [name, place] of Object.entries({ picture, said, extra })) {
      const show = () => { place.innerHTML = model.get(name); };
      model.on(`change:${name}`, show);
      show();
    }
    speaker(); // it must stand before its words come
    model.on("change:said", () => speak([...said.children]));

    let card = null, port = null, told = null, longest = { width: 0, height: 0 }, timer = 0;
    const measure = () => {
      const width = view.clientWidth;
      if (!width || !model.get("picture")) return;
      if (scroller(card) !== port) sizes.observe(port = scroller(card));
      if (Math.abs(width - longest.width) > 4) longest = { width, height: 0 };
      // A longer sentence must not move the picture: room for a few lines is kept, then for the longest so far.
      longest.height = Math.max(longest.height, said.offsetHeight, LINES * parseFloat(getComputedStyle(said).lineHeight));
      for (const part of [said, extra]) { // what is longer than its place can be scrolled by the keys
        if (part.scrollHeight > part.clientHeight || part.scrollWidth > part.clientWidth) part.tabIndex = 0;
      }
      const seen = port === document.scrollingElement ? innerHeight : port.clientHeight;
      card.style.setProperty("--mix-port", `${seen}px`);
      // What stands above the picture counts, and what stands below it; the picture's own height never does.
      // A page may be shown enlarged; the room is counted in px of the panel.
      const enlarged = card.getBoundingClientRect().width / card.offsetWidth;
      const above = (view.getBoundingClientRect().top - card.getBoundingClientRect().top) / enlarged;
      const table = extra.closest(".mix-tabled .mix-view") ? extra.offsetHeight + EDGE : 0;
      const height = Math.max(seen - above - longest.height - table - EDGE, LEAST.height);
      const room = [Math.max(width, LEAST.width), height].map(Math.floor);
      // A scroll bar that comes and goes with the picture must not make the room swing.
      if (told && room.every((now, side) => now > told[side] - 4 && now < told[side] + 20)) return;
      told = room;
      model.set("room", room);
      model.save_changes();
    };
    const sizes = new ResizeObserver(() => {
      if (!card && (card = view.closest(".mix-card"))) { // now the panel is on the page
        card.querySelectorAll(".mix-head, .mix-controls").forEach((part) => sizes.observe(part));
        changes.observe(card, { childList: true, characterData: true, subtree: true, attributeFilter: ["aria-valuetext"] });
        card.addEventListener("keydown", keepKey);
        for (const step of [stepNumber, stepSlider]) card.addEventListener("keydown", step, true); // before the entry itself keeps the key
        card.addEventListener("pointerdown", stepHand, true);
        card.addEventListener("click", (event) => tellSliders(event, model), true);
        nameParts(card);
      }
      clearTimeout(timer);
      timer = setTimeout(measure, 120);
    });
    const changes = new MutationObserver(() => nameParts(card));
    [view, said].forEach((part) => sizes.observe(part));
    return () => { sizes.disconnect(); changes.disconnect(); clearTimeout(timer); };
  },
};
