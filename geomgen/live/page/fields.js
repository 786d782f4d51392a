// The numbers of the file: shown by table, found by words, changed one at a time.
"use strict";
(function () {
  const token = document.querySelector("meta[name='geomgen-token']").content;
  const holder = live.at("fields"), find = live.at("find"), words = live.at("fields-words");
  const known = new Map(), groups = new Map();
  const m = live.made;

  async function post(what, body) {
    const text = JSON.stringify(body);
    const answer = await fetch(what, { method: "POST", body: text,
      headers: { "Content-Type": "application/json", "X-Geomgen-Token": token } });
    return { ok: answer.ok, told: await answer.json() };
  }

  function refusal(told) {
    const rows = told.errors || [told];
    return rows.map((one) => [(one.key ? one.key + ": " : "") + one.problem,
      one.allowed ? "allowed: " + one.allowed : "", one.advice ? "do: " + one.advice : ""]
      .filter(Boolean).join("\n")).join("\n");
  }

  // A stretch round the present value, within the limits: fine enough to be set by hand.
  function stretch(field) {
    const wide = field.high - field.low;
    const span = Math.min(wide, Math.max(0.3 * Math.abs(field.number), 0.02 * wide));
    const step = field.kind === "whole" ? 1 : Math.pow(10, Math.floor(Math.log10(span / 60)));
    const low = Math.max(field.low, Math.floor((field.number - span) / step) * step);
    const high = Math.min(field.high, Math.ceil((field.number + span) / step) * step);
    return { low: tidy(low), high: tidy(high), step: tidy(step) };
  }
  const tidy = (v) => Number(v.toPrecision(10));

  function control(field, id) {
    if (field.kind === "choice" || field.kind === "yes or no") {
      return m("select", { id }, ...field.words.map((word) => m("option", { value: word }, word)));
    }
    if (field.kind === "number" || field.kind === "whole") {
      return m("input", { id, type: "number", step: field.kind === "whole" ? "1" : "any", autocomplete: "off" });
    }
    return m("input", { id, type: "text", autocomplete: "off", spellcheck: "false", maxlength: "300" });
  }

  // Elements are made when they are first seen: a file has some hundred values.
  function build(one) {
    const field = one.field;
    const id = "field-" + field.key, input = control(field, id);
    const said = m("p", { id: id + "-said" }), where = m("p", {}), wrong = m("p", { class: "refusal", id: id + "-wrong", role: "alert" });
    input.setAttribute("aria-describedby", said.id + " " + wrong.id);
    const entry = m("div", { class: "entry" }, input, m("span", {}, field.unit));
    const element = m("div", { class: "field", "data-key": field.key },
      m("label", { for: id }, field.name.replaceAll("_", " ")), entry);
    Object.assign(one, { input, element, said, where, wrong });
    if (field.number !== null && field.low !== null && field.high !== null) {
      one.slider = m("input", { type: "range", "aria-label": field.name.replaceAll("_", " ") + ", slider" });
      one.slider.addEventListener("input", () => { input.value = one.slider.value; one.dirty = true; });
      one.slider.addEventListener("change", () => send(one));
      element.append(one.slider);
    }
    input.addEventListener("input", () => { one.dirty = true; });
    input.addEventListener("change", () => send(one));
    input.addEventListener("keydown", (event) => { if (event.key === "Escape") { one.dirty = false; fill(one); } });
    element.append(wrong, said, where);
  }

  function fill(one) {
    if (!one.element) build(one);
    const field = one.field, input = one.input;
    const fixed = field.file === "--set";
    input.disabled = fixed;
    one.said.textContent = field.description + (field.low !== null && field.kind !== "whole"
      ? "; from " + tidy(field.low) + " to " + tidy(field.high) + (field.unit ? " " + field.unit : "") : "") +
      (field.kind === "number or word" ? '; or "' + field.words[0] + '"' : "") +
      (field.source ? "; limit from: " + field.source : "");
    one.where.textContent = field.key + ", " + (field.file === "default" ? "left to its default"
      : fixed ? "set on the command line" : field.file + (field.line ? ", line " + field.line : ""));
    if (one.dirty) return;
    one.wrong.textContent = "";
    input.removeAttribute("aria-invalid");
    const value = field.number !== null ? String(field.number) : field.written;
    if (input.value !== value) input.value = value;
    if (one.slider) {
      const { low, high, step } = stretch(field);
      one.slider.disabled = fixed;
      one.slider.min = low; one.slider.max = high; one.slider.step = step; one.slider.value = field.number;
      one.slider.setAttribute("aria-valuetext", field.written);
    }
  }

  async function send(one) {
    const { field, input } = one;
    const numeric = field.kind === "number" || field.kind === "whole";
    const value = numeric ? input.valueAsNumber : input.value;
    if (numeric && !Number.isFinite(value)) { complain(one, "not a number"); return; }
    if (value === (numeric ? field.number : field.written)) { one.dirty = false; fill(one); return; }
    one.element.classList.add("sent");
    try {
      const { ok, told } = await post("change", { key: field.key, value });
      if (!ok) { complain(one, refusal(told)); return; }
      one.dirty = false;
      one.wrong.textContent = "";
      input.removeAttribute("aria-invalid");
      words.textContent = told.key + " is now " + told.written + ".";
    } catch (error) {
      complain(one, "geomgen watch doesn't answer: nothing was changed");
    } finally {
      one.element.classList.remove("sent");
    }
  }

  function complain(one, text) {
    one.dirty = true;
    one.input.setAttribute("aria-invalid", "true");
    one.wrong.textContent = text + "\nNot written. Escape brings the file's value back.";
  }

  // Same table, same order: the elements stay, so that focus and what is open stay too.
  live.showFields = async function (section) {
    if (!section) return;
    const answer = await fetch("body/fields");
    if (!answer.ok) return;
    const rows = await answer.json(), seen = new Set(), order = new Map();
    rows.forEach((field) => {
      seen.add(field.key);
      let one = known.get(field.key);
      if (!one || one.field.kind !== field.kind || one.field.unit !== field.unit || one.field.words.join() !== field.words.join()) {
        one = { field, element: null, slider: null, dirty: false, missed: false };
        known.set(field.key, one);
      }
      one.field = field;
      if (!order.has(field.table)) order.set(field.table, { title: field.title, some: [] });
      order.get(field.table).some.push(one);
    });
    Array.from(known.keys()).filter((key) => !seen.has(key)).forEach((key) => known.delete(key));
    Array.from(groups.keys()).filter((table) => !order.has(table)).forEach((table) => { groups.get(table).element.remove(); groups.delete(table); });
    order.forEach(({ title, some }, table) => place(table, title, some));
    sift();
    holder.dataset.stamp = section.stamp;
  };

  function place(table, title, some) {
    let group = groups.get(table);
    if (!group) {
      const name = m("span", {}), many = m("span", { class: "many" });
      group = { name, many, inside: m("div", {}), element: null, some };
      group.element = m("details", { "data-table": table }, m("summary", {}, name, " ", many), group.inside);
      const mine = group;
      group.element.addEventListener("toggle", () => render(mine));
      groups.set(table, group);
    }
    group.some = some;
    group.name.textContent = title;
    if (group.element.parentNode !== holder) holder.append(group.element);
  }

  function render(group) {
    if (!group.element.open) return;
    group.some.forEach((one) => { fill(one); one.element.hidden = one.missed; });
    const now = Array.from(group.inside.children), wanted = group.some.map((one) => one.element);
    if (now.length !== wanted.length || wanted.some((element, i) => element !== now[i])) group.inside.replaceChildren(...wanted);
  }

  // All words have to be somewhere in key, title or description.
  function sift() {
    const asked = find.value.toLowerCase().split(/[\s.]+/).filter(Boolean);
    let shown = 0;
    groups.forEach((group) => {
      let here = 0;
      group.some.forEach((one) => {
        const field = one.field;
        const text = (field.key + " " + field.name.replaceAll("_", " ") + " " + field.title + " " + field.description).toLowerCase();
        const hit = asked.every((word) => text.includes(word));
        one.missed = !hit;
        here += hit;
      });
      group.element.hidden = !here;
      group.many.textContent = "(" + here + ")";
      if (asked.length && here) group.element.open = true;
      render(group);
      shown += here;
    });
    if (asked.length) words.textContent = shown + (shown === 1 ? " value" : " values") + " found.";
  }
  find.addEventListener("input", () => {
    if (!find.value) { words.textContent = ""; groups.forEach((group) => { group.element.open = false; }); }
    sift();
  });

  live.at("undo").addEventListener("click", async () => {
    try {
      const { ok, told } = await post("undo", {});
      words.textContent = ok ? told.key + " was taken back." : refusal(told) + " Nothing was taken back.";
    } catch (error) {
      words.textContent = "geomgen watch doesn't answer: nothing was taken back.";
    }
  });
  live.showUndo = function (text) {
    live.at("undo").disabled = !text;
    live.at("undo-words").textContent = text ? "Last change made here: " + text : "";
  };
})();
