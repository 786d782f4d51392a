// One value of the file: shown, and changed as text the way the file writes it.
"use strict";
(function () {
  const m = live.made;
  // Typing rests so long before it is read; steps and drags before they are written; and so long
  // an answer counts for more than a list of values that was made before it [ms].
  const TYPED = 150, STEPPED = 350, HELD = 3000;
  const run = Math.random().toString(36).slice(2);
  let sittings = 0;

  const tidy = (v) => Number(v.toPrecision(10));
  const chosen = (field) => field.kind === "choice" || field.kind === "yes or no";
  const form = (field) => chosen(field) ? "one of " + field.words.join() : "text";
  const withUnit = (field, v) => tidy(Number(v)) + (field.unit ? " " + field.unit : "");
  const both = (told) => told.written + (told.reads ? " (" + told.reads + ")" : "");
  const slides = (field) => field.number !== null && field.low !== null && field.high !== null;

  // A stretch round the present value, within the limits: fine enough to be set by hand.
  function stretch(field) {
    const wide = field.high - field.low;
    const span = Math.min(wide, Math.max(0.3 * Math.abs(field.number), 0.02 * wide));
    const step = field.kind === "whole" ? 1 : Math.pow(10, Math.floor(Math.log10(span / 60)));
    const low = Math.max(field.low, Math.floor((field.number - span) / step) * step);
    const high = Math.min(field.high, Math.ceil((field.number + span) / step) * step);
    return { low: tidy(low), high: tidy(high), step: tidy(step) };
  }

  function control(field, id) {
    if (chosen(field)) return m("select", { id }, ...field.words.map((word) => m("option", { value: word }, word)));
    return m("input", { id, type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false", maxlength: "300", enterkeyhint: "done" });
  }

  // Elements are made when they are first seen: a file has some hundred values. What is said of a
  // value stands in one place for all, `hand`: that of the value which the hand is at.
  function build(one) {
    const field = one.field, id = "field-" + field.key, name = field.name.replaceAll("_", " ");
    const item = /\.(\d+)$/.exec(field.table);
    const called = name + (item ? ", " + field.title.split(", ").pop() : "");
    const input = control(field, id);
    const said = m("p", { id: id + "-said" }), where = m("p", { class: "where" });
    const note = m("p", { class: "note", id: id + "-note", role: "status" }), wrong = m("p", { class: "refusal", id: id + "-wrong", role: "alert" });
    input.setAttribute("aria-describedby", [note.id, wrong.id, said.id].join(" "));
    const slider = chosen(field) ? null : m("input", { type: "range", "aria-label": called + ", slider" });
    const element = m("div", { class: field.kind === "text" || chosen(field) ? "field words" : "field", "data-key": field.key }, m("label", { for: id }, m("span", { class: "short" }, name), item ? m("span", { class: "unseen" }, called.slice(name.length)) : null),
      m("div", { class: "entry" }, input), wrong);
    const detail = m("div", { class: "detail", "data-of": field.key }, m("p", { class: "title" }, m("b", {}, called), " ", m("code", {}, field.key)), note, slider, said, where);
    Object.assign(one, { input, element, detail, said, where, note, wrong, slider });
    input.addEventListener("input", () => { edited(one); wait(one, TYPED, () => live.ask("read " + field.key, () => look(one))); });
    input.addEventListener("change", () => { if (one.dirty && one.asked !== input.value) commit(one); });
    input.addEventListener("keydown", (event) => keyed(one, event));
    element.addEventListener("focusin", () => { hand(one); live.mean(one.field, 0); });
    element.addEventListener("pointerenter", () => live.mean(one.field));
    [element, detail].forEach((part) => {
      part.addEventListener("focusin", () => { if (!one.sitting) one.sitting = run + "-" + (sittings += 1); });
      // Only then does the browser say where the focus went; from field to slider is the same sitting.
      part.addEventListener("focusout", () => setTimeout(() => {
        if (element.contains(document.activeElement) || detail.contains(document.activeElement)) return;
        flush(one);
        one.left = true;
      }));
    });
    if (slider) slider.addEventListener("input", () => stepped(one));
  }

  function hand(one) {
    const place = live.at("hand");
    if (place.firstChild !== one.detail) place.replaceChildren(one.detail);
  }

  function edited(one) {
    hand(one);
    one.dirty = true;
    one.asked = null;
    if (one.left) { one.left = false; one.sitting = run + "-" + (sittings += 1); }
    one.wrong.textContent = one.note.textContent = "";
    one.input.removeAttribute("aria-invalid");
  }

  // Steps and drags are collected: what stands there when they rest is written.
  function stepped(one) {
    edited(one);
    one.input.value = withUnit(one.field, one.slider.value);
    one.slider.setAttribute("aria-valuetext", one.input.value);
    one.note.textContent = "Will be written: " + one.input.value;
    wait(one, STEPPED, () => commit(one));
    one.steps = true;
  }

  function keyed(one, event) {
    if (event.key === "Escape") {
      stop(one);
      live.forget("change " + one.field.key);
      one.dirty = false;
      one.note.textContent = "";
      fill(one);
    }
    if (event.key === "Enter" && one.dirty) commit(one);
    const up = event.key === "ArrowUp";
    const fresh = !one.dirty || (one.slider && one.input.value === withUnit(one.field, one.slider.value));
    if (!(up || event.key === "ArrowDown") || !one.slider || one.slider.hidden || !fresh) return;
    event.preventDefault();
    if (up) one.slider.stepUp(); else one.slider.stepDown();
    stepped(one);
  }

  function stop(one) { clearTimeout(one.timer); one.timer = null; one.steps = false; }
  function wait(one, rest, then) { stop(one); one.timer = setTimeout(then, rest); }
  function flush(one) { if (one.steps) commit(one); }
  function commit(one) {
    stop(one);
    one.asked = one.input.value;
    live.ask("change " + one.field.key, () => send(one));
  }

  // How it would be written is shown before it is.
  async function look(one) {
    const text = one.input.value;
    if (!one.dirty) return null;
    try {
      const { ok, told } = await live.post("read", { key: one.field.key, value: text });
      if (one.input.value !== text || !one.dirty) return null;
      one.note.textContent = ok ? "Will be written: " + both(told) : "Not a value yet: " + told.problem + (told.advice ? "; " + told.advice : "");
      return { ok, told };
    } catch (error) {
      return null;
    }
  }

  async function send(one) {
    if (!one.dirty) return;
    const key = one.field.key, text = one.input.value;
    one.element.classList.add("sent");
    try {
      const seen = chosen(one.field) ? null : await look(one);
      if (one.input.value !== text || !one.dirty) return;
      if (!seen && !chosen(one.field)) { complain(one, live.SILENT + ": nothing was sent"); return; }
      if (seen && !seen.ok) { complain(one, live.refusal(seen.told)); return; }
      const { ok, told } = await live.post("change", { key, value: text, sitting: one.sitting || "" });
      if (ok) taken(one, text, told);
      else if (one.input.value === text) complain(one, live.refusal(told));
    } catch (error) {
      complain(one, live.SILENT + ": whether it was written is seen in the file");
    } finally {
      one.element.classList.remove("sent");
    }
  }

  function taken(one, text, told) {
    one.held = { written: told.written, until: Date.now() + HELD };
    live.confirm(told.changed ? told.key + ": " + told.former + " → " + both(told) + ", written into the file."
      : told.key + " is " + told.written + " in the file as it was: nothing to write.");
    if (one.input.value !== text) return;
    one.dirty = false;
    one.input.value = told.written;
    one.wrong.textContent = "";
    one.note.textContent = (told.changed ? "Written: " : "As it was: ") + both(told);
  }

  function complain(one, text) {
    one.input.setAttribute("aria-invalid", "true");
    one.note.textContent = "";
    one.wrong.textContent = text + "\nNot written. Escape brings the file's value back.";
    live.confirm(one.field.key + " was not written: see its field.", true);
  }

  function fill(one) {
    if (!one.element) build(one);
    const { field, input, slider } = one, fixed = field.file === "--set";
    input.disabled = fixed;
    one.said.textContent = field.description + (field.low !== null && field.kind !== "whole"
      ? "; from " + withUnit(field, field.low) + " to " + withUnit(field, field.high) : "") +
      (field.kind === "number or word" ? '; or "' + field.words[0] + '"' : "") +
      (field.source ? "; limit from: " + field.source : "");
    one.where.textContent = (field.file === "default" ? "left to its default"
      : fixed ? "set on the command line" : field.file + (field.line ? ", line " + field.line : ""));
    const moved = one.opened !== undefined && one.opened !== field.written;
    one.element.classList.toggle("moved", moved);
    input.title = moved ? field.key + ": " + one.opened + " when this page was opened" : field.key;
    if (one.dirty) return;
    if (one.held && one.held.written !== field.written && Date.now() < one.held.until) return;
    if (one.held && one.held.written !== field.written) one.note.textContent = "";
    one.wrong.textContent = one.blame || "";
    if (one.blame) input.setAttribute("aria-invalid", "true"); else input.removeAttribute("aria-invalid");
    if (input.value !== field.written) input.value = field.written;
    if (!slider) return;
    slider.hidden = !slides(field);
    if (slider.hidden) return;
    const { low, high, step } = stretch(field);
    slider.disabled = fixed;
    slider.min = low; slider.max = high; slider.step = step; slider.value = field.number;
    slider.setAttribute("aria-valuetext", field.written);
  }

  live.field = {
    form,
    fill,
    flush,
    made: (field) => ({ field, element: null, dirty: false, missed: false, sitting: "", steps: false }),
    blame: (one, words) => { one.blame = words; fill(one); },
    // What is changed after this is another step for undo.
    leave: (one) => { flush(one); one.left = true; },
    // What was told of it holds no more: the file says something else now.
    forget: (one) => { one.held = null; if (one.note) one.note.textContent = ""; },
  };
})();
