// The page's side of `Stage`: shows what the kernel sends, and tells the kernel the room that a picture has.
const LEAST = { width: 300, height: 180 };  // px; a picture cannot be laid out for less
const LINES = 3;                            // of the sentence, for which there is always room
const EDGE = 8;                             // px below a panel that is as high as the page can show

const scroller = (element) => {
  for (let up = element.parentElement; up; up = up.parentElement) {
    if (up.scrollHeight > up.clientHeight && /auto|scroll/.test(getComputedStyle(up).overflowY)) return up;
  }
  return document.scrollingElement;
};
const nameSliders = (card) => card.querySelectorAll(".widget-slider").forEach((slider) => {
  const handle = slider.querySelector(".noUi-handle"), label = slider.querySelector(".widget-label");
  if (handle && label) handle.ariaLabel = label.textContent;
});

export default {
  render({ model, el }) {
    const box = (name, parent) => {
      const made = parent.appendChild(document.createElement("div"));
      made.className = `mix-${name}`;
      return made;
    };
    const view = box("view", el), picture = box("picture", view), said = box("said", view);
    const extra = box("extra", model.get("apart") ? el : view);
    said.role = "status"; // it stays and only its words change: so they are spoken
    for (const [name, place] of Object.entries({ picture, said, extra })) {
      const show = () => { place.innerHTML = model.get(name); };
      model.on(`change:${name}`, show);
      show();
    }

    let card = null, port = null, told = null, longest = { width: 0, height: 0 }, timer = 0;
    const measure = () => {
      const width = view.clientWidth;
      if (!width || !model.get("picture")) return;
      if (scroller(card) !== port) sizes.observe(port = scroller(card));
      if (Math.abs(width - longest.width) > 4) longest = { width, height: 0 };
      // A longer sentence must not move the picture: room for a few lines is kept, then for the longest so far.
      longest.height = Math.max(longest.height, said.offsetHeight, LINES * parseFloat(getComputedStyle(said).lineHeight));
      if (said.scrollHeight > said.clientHeight) said.tabIndex = 0; // can be scrolled by the keys
      const seen = port === document.scrollingElement ? innerHeight : port.clientHeight;
      card.style.setProperty("--mix-port", `${seen}px`);
      // What stands above the picture counts, and the sentence below it; the picture's own height never does.
      const above = view.getBoundingClientRect().top - card.getBoundingClientRect().top;
      const height = Math.max(seen - above - longest.height - EDGE, LEAST.height);
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
        changes.observe(card, { childList: true, subtree: true });
        nameSliders(card);
      }
      clearTimeout(timer);
      timer = setTimeout(measure, 120);
    });
    const changes = new MutationObserver(() => nameSliders(card));
    [view, said].forEach((part) => sizes.observe(part));
    return () => { sizes.disconnect(); changes.disconnect(); clearTimeout(timer); };
  },
};
