// The page's side of `Player`: moves an aircraft along each track, in real time, over the picture of its panel.
const SVG = "http://www.w3.org/2000/svg";
const OUTLINE = "M17 0 Q12 4 0 3 L-14 1 L-17 -8 L-12 -8 L-8 -2 L8 -4 Q14 -4 17 0 Z"; // from the side, nose to the right
const NAME = { beside: 20, apart: 20, near: 70, size: 14 };                          // px: a name beside its aircraft, two of them apart
const EDGE = 120;                                                                   // px from the left edge where a name stands ahead
const LOOK = 2;                                                                     // points ahead by which the nose is turned

const made = (name, attributes, parent) => {
  const element = parent.appendChild(document.createElementNS(SVG, name));
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
};
const aircraft = ({ name, colour }) => {
  const group = document.createElementNS(SVG, "g");
  const look = { fill: colour, stroke: "#ffffff", "stroke-width": 1.5 };
  const body = made("path", { d: OUTLINE, ...look }, group);
  const text = made("text", { "font-size": NAME.size, fill: "#1b1f24",
    stroke: "#ffffff", "stroke-width": 3, "paint-order": "stroke" }, group);
  text.textContent = name;
  return { group, body, text };
};
const place = (points, seconds, moment) => {
  const last = points.length - 1, share = Math.min(seconds / moment, last), before = Math.min(Math.floor(share), last - 1);
  const [[x0, y0], [x1, y1]] = [points[before], points[before + 1]], part = share - before;
  const [xa, ya] = points[Math.min(before + LOOK, last)];
  return { x: x0 + part * (x1 - x0), y: y0 + part * (y1 - y0), turn: (Math.atan2(ya - y0, xa - x0) * 180) / Math.PI };
};
const ending = ({ name, points }, moment) => {
  let last = points.length - 1;
  const gone = points[last][0] !== points[last - 1][0]; // it flew out of the picture
  while (last > 0 && points[last - 1][0] === points[last][0]) last -= 1;
  return `${name}: ${gone ? "out of the picture" : "at rest"} after ${(last * moment).toFixed(1)} s`;
};

export default {
  render({ model, el }) {
    el.classList.add("mix-play");
    const button = (words, press) => {
      const made = el.appendChild(document.createElement("button"));
      Object.assign(made, { type: "button", className: "jupyter-button", textContent: words, onclick: press });
      return made;
    };
    const calm = matchMedia("(prefers-reduced-motion: reduce)");
    const tracks = () => model.get("tracks").filter((track) => track.points.length > 1);
    const length = () => Math.max(0, ...tracks().map((track) => track.points.length - 1)) * model.get("moment_s");
    let flying = [], seconds = 0, running = false, last = null, asked = 0, watched = null;

    const draw = () => {
      const picture = el.closest(".mix-card")?.querySelector(".mix-picture"), svg = picture?.querySelector("svg");
      if (picture && picture !== watched) watcher.observe((watched = picture), { childList: true });
      if (!svg) return;
      const places = tracks().map((track) => place(track.points, seconds, model.get("moment_s")));
      tracks().forEach((track, number) => {
        const { group, body, text } = (flying[number] ??= aircraft(track));
        if (group.parentNode !== svg) svg.append(group);
        const { x, y, turn } = places[number];
        const higher = (other, at) => Math.hypot(other.x - x, other.y - y) < NAME.near && (other.y < y || (other.y === y && at < number));
        group.setAttribute("transform", `translate(${x} ${y - 3})`);
        body.setAttribute("transform", `rotate(${turn})`);
        text.setAttribute("y", places.filter(higher).length * NAME.apart - 4); // of two close ones, the lower name is the lower one's
        text.setAttribute("text-anchor", x < EDGE ? "start" : "end");
        text.setAttribute("x", x < EDGE ? NAME.beside : -NAME.beside);
      });
      clock.textContent = `${seconds.toFixed(1)} s`;
    };
    const clear = () => { flying.forEach(({ group }) => group.remove()); flying = []; };
    const watcher = new MutationObserver(() => { if (flying.length) draw(); });
    const say = () => {
      play.textContent = running ? "Stop" : calm.matches ? "One second on" : "Play the landing";
      const over = seconds > 0 && seconds >= length();
      said.textContent = over ? tracks().map((track) => ending(track, model.get("moment_s"))).join("; ") : "";
    };
    const stop = () => { running = false; cancelAnimationFrame(asked); say(); };
    const step = (now) => {
      seconds = Math.min(seconds + (now - (last ?? now)) / 1000, length());
      last = now;
      draw();
      if (seconds < length()) asked = requestAnimationFrame(step); else stop();
    };
    const play = button("", () => {
      if (running) { stop(); return; }
      if (seconds >= length()) seconds = 0;
      if (calm.matches) { seconds = Math.min(Math.floor(seconds) + 1, length()); draw(); say(); return; }
      running = true;
      last = null; // the clock begins with the first picture
      asked = requestAnimationFrame(step);
      say();
    });
    button("To the turn", () => { stop(); seconds = 0; clear(); clock.textContent = ""; say(); });
    const clock = el.appendChild(document.createElement("span")), said = el.appendChild(document.createElement("span"));
    clock.ariaHidden = "true";
    said.role = "status";
    say();
    const renew = () => { const shown = flying.length; clear(); if (shown) draw(); say(); };
    model.on("change:tracks", renew);
    return () => { cancelAnimationFrame(asked); watcher.disconnect(); model.off("change:tracks", renew); };
  },
};
