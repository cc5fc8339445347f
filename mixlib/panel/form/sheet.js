// A page of the form: rows of entries, each with a key.  What is typed goes to the kernel while one types.
const PAUSE = 180; // ms without a key before what is typed is told

let views = 0; // so that the ids of two views differ
const make = (tag, kind, words) => {
  const made = document.createElement(tag);
  if (kind) made.className = kind;
  if (words !== undefined) made.textContent = words;
  return made;
};

export default {
  render({ model, el }) {
    const sheet = el.appendChild(make("div", "mix-sheet"));
    const view = `mix-form-${views += 1}`;
    let shape = "", fresh = null, step = null, waiting = null, updates = [], count = 0;
    const tell = (content) => model.send(content);
    const flush = () => {
      if (!waiting) return;
      clearTimeout(waiting.timer);
      tell({ put: waiting.key, value: waiting.value, typed: true });
      waiting = null;
    };
    const later = (key, value) => {
      if (waiting && waiting.key !== key) flush();
      if (waiting) clearTimeout(waiting.timer);
      waiting = { key, value, timer: setTimeout(flush, PAUSE) };
    };

    const kinds = {
      said: (item) => {
        const made = make("div", `mix-told ${item.mark ? `mix-${item.mark}` : ""}`);
        return [made, (now) => { made.textContent = now.words; made.hidden = !now.words; }];
      },
      heading: (item) => [make("h4", "", item.words), () => {}],
      line: (item, id) => {
        const made = make("div", "mix-entry-line"), label = make("label", "", item.label), input = make("input");
        const unit = make("span", "mix-unit"), note = make("div", "mix-note");
        Object.assign(input, { type: "text", id, spellcheck: false, autocomplete: "off" });
        label.htmlFor = id; note.id = `${id}-n`;
        input.setAttribute("aria-describedby", note.id);
        input.addEventListener("input", () => later(item.key, input.value));
        input.addEventListener("change", () => { later(item.key, input.value); flush(); });
        input.addEventListener("focus", () => { flush(); tell({ at: item.key }); });
        input.addEventListener("keydown", (event) => {
          if (event.key !== "Enter") return;
          event.preventDefault(); // on to the next entry, as a paper list is gone through
          const all = [...sheet.querySelectorAll("input[type=text]")], next = all[all.indexOf(input) + 1];
          if (next) next.focus(); else flush();
        });
        made.append(label, input, unit, note);
        return [made, (now, anew) => {
          if ((anew || document.activeElement !== input) && !(waiting && waiting.key === item.key)) input.value = now.value;
          input.placeholder = now.usual;
          unit.textContent = now.unit;
          note.textContent = now.fault || now.note;
          note.classList.toggle("mix-fault", !!now.fault);
          input.setAttribute("aria-invalid", !!now.fault);
          made.classList.toggle("mix-at", !!now.at);
        }];
      },
      pick: (item, id) => {
        const made = make("fieldset", `mix-pick ${item.look ? `mix-${item.look}` : ""} ${item.pictures ? "mix-pictures" : ""}`), boxes = [];
        made.append(make("legend", "", item.label));
        item.options.forEach(([value, words], place) => {
          const option = make("label", "mix-option"), box = make("input");
          Object.assign(box, { type: "radio", name: id, value, id: `${id}-${place}` });
          box.addEventListener("change", () => { flush(); tell({ put: item.key, value }); });
          box.addEventListener("focus", () => tell({ at: item.key }));
          option.append(box);
          if (item.pictures) { const drawn = make("span", "mix-drawn"); drawn.ariaHidden = true; drawn.innerHTML = item.pictures[place]; option.append(drawn); }
          option.append(make("span", "mix-words", words));
          boxes.push(box);
          made.append(option);
        });
        const note = made.appendChild(make("div", "mix-note"));
        return [made, (now) => {
          boxes.forEach((box) => { box.checked = box.value === now.value; });
          note.textContent = now.fault || now.note || "";
          note.classList.toggle("mix-fault", !!now.fault);
        }];
      },
      button: (item) => {
        const made = make("button", `jupyter-button ${item.look ? `mix-${item.look}` : ""}`, item.words);
        made.type = "button";
        made.addEventListener("click", () => { flush(); tell({ press: item.key }); });
        return [made, (now) => {
          made.disabled = !!now.off;
          made.textContent = now.words;
          if (now.step) made.setAttribute("aria-current", now.now ? "step" : "false");
          made.classList.toggle("mod-active", !!now.now);
        }];
      },
      save: (item) => {
        const made = make("a", "jupyter-button mix-save", item.words);
        return [made, (now) => { made.href = now.href; made.download = now.name; }];
      },
      file: (item, id) => {
        const made = make("label", "jupyter-button mix-file", item.words), input = make("input");
        Object.assign(input, { type: "file", accept: ".toml,text/plain", id });
        input.addEventListener("change", async () => {
          const [file] = input.files;
          if (!file) return;
          if (file.size > 1e6) tell({ file: "", name: file.name, large: file.size });
          else {
            const bytes = new Uint8Array(await file.arrayBuffer());
            tell({ file: btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join("")), name: file.name });
          }
          input.value = "";
        });
        made.append(input);
        return [made, () => {}];
      },
      row: (item) => {
        const made = make("div", `mix-row ${item.look ? `mix-${item.look}` : ""}`);
        const inside = item.items.map((part) => build(part, made));
        return [made, (now, anew) => inside.forEach((update, place) => update(now.items[place], anew))];
      },
    };
    const build = (item, parent) => {
      const [made, update] = kinds[item.kind](item, `${view}-${count += 1}`);
      if (item.key) made.dataset.key = item.key;
      parent.append(made);
      return update;
    };
    // What makes another page, not only other values on it.
    const outline = (item) => [
      item.kind, item.key, item.label, item.look, item.options, item.kind === "heading" ? item.words : "",
      (item.items || []).map(outline),
    ];
    const show = () => {
      const page = model.get("page"), rows = page.rows || [], now = JSON.stringify(rows.map(outline));
      const anew = page.fresh !== fresh;
      if (now !== shape) {
        const held = sheet.contains(document.activeElement) ? document.activeElement : null;
        const keyed = held && held.closest("[data-key]"), key = keyed && keyed.dataset.key;
        const place = held && held.selectionStart, typed = held && held.type === "text" ? held.value : null;
        sheet.replaceChildren();
        shape = now;
        updates = rows.map((item) => build(item, sheet));
        rows.forEach((item, number) => updates[number](item, true));
        const again = key && [...sheet.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);
        const target = again && (again.matches("button, a") ? again : again.querySelector("input:checked, input"));
        if (held && page.step !== step) { // on to another page: its first entry, and its head in sight
          const first = sheet.querySelector(".mix-body :is(input:checked, input, button)");
          if (first) first.focus({ preventScroll: true });
          const card = sheet.closest(".mix-card");
          if (card) card.scrollIntoView({ block: "nearest" });
          sheet.parentElement.scrollTop = 0;
        } else if (target) {
          if (typed !== null && target.type === "text" && !anew) target.value = typed;
          target.focus({ preventScroll: true });
          if (place !== null && target.type === "text") target.setSelectionRange(place, place);
        }
        step = page.step;
      } else rows.forEach((item, number) => updates[number](item, anew));
      fresh = page.fresh;
    };
    model.on("change:page", show);
    show();
    return () => { flush(); model.off("change:page", show); };
  },
};
