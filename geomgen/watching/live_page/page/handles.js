// Points of the lines plan that a hand or the arrow keys move; the file changes when they let go.
"use strict";
(function () {
  const note = live.at("plan-note"), holder = live.at("plan");
  const MM = { mm: 1, cm: 10, m: 1000, in: 25.4, inch: 25.4, ft: 304.8, thou: 0.0254, deg: 1 };
  const LISTS = { pod: "pod.stations", booms: "booms.stations", wing: "wing.sections" };
  const STEP = { mm: 1, cm: 0.1, m: 0.001, in: 0.05, inch: 0.05, ft: 0.005, thou: 50, deg: 0.1 };
  const RESTED = 350, FULL = { low: 0.3, high: 0.85, step: 0.01 };
  const run = Math.random().toString(36).slice(2), known = new Map();
  let sittings = 0, scene = null, held = null, busy = false;

  const tidy = (v) => Number(v.toPrecision(10));
  const middle = (s) => (s.crown + s.keel) / 2;
  function boom(s, centre, high) { s.breadth_height = centre; s.crown = centre + high / 2; s.keel = centre - high / 2; }
  // What each point stands for: where it is, what its value is [mm or 1], what it does to a station.
  const SIDE = (at) => (s, r) => [r.X(s.x), r.Z(at(s))];
  const up = (r, px, py) => r.top - (py - r.Z(r.top)) / r.k;
  const KINDS = {
    pod: {
      crown: { at: SIDE((s) => s.crown), get: (s) => s.crown, set: (s, v) => { s.crown = v; }, read: (s, ...p) => up(...p) },
      keel: { at: SIDE((s) => s.keel), get: (s) => s.keel, set: (s, v) => { s.keel = v; }, read: (s, ...p) => up(...p) },
      breadth_height: { at: SIDE((s) => s.breadth_height), get: (s) => s.breadth_height, set: (s, v) => { s.breadth_height = v; }, read: (s, ...p) => up(...p) },
      breadth: { at: (s, r) => [r.X(s.x), r.Y(s.half_breadth)], get: (s) => 2 * s.half_breadth, set: (s, v) => { s.half_breadth = v / 2; }, read: (s, r, px, py) => 2 * (py - r.Y(0)) / r.k, down: true },
      fullness_upper: full("crown", "fullness_upper"),
      fullness_lower: full("keel", "fullness_lower"),
    },
    booms: {
      waterline: { at: SIDE(middle), get: middle, set: (s, v) => boom(s, v, s.crown - s.keel), read: (s, ...p) => up(...p) },
      height: { at: SIDE((s) => s.crown), get: (s) => s.crown - s.keel, set: (s, v) => boom(s, middle(s), v), read: (s, ...p) => 2 * (up(...p) - middle(s)) },
      width: { at: (s, r) => [r.X(s.x), r.Y(s.half_breadth)], get: (s) => 2 * s.half_breadth, set: (s, v) => { s.half_breadth = v / 2; }, read: (s, r, px, py) => 2 * (py - r.Y(0)) / r.k, down: true },
    },
  };
  // From above: the trailing edge gives the chord, the quarter chord the sweep, the mark above the span.
  KINDS.wing = {
    chord: { at: (s, r) => [r.X(s.y), r.Z(s.edge)], get: (s) => s.chord, set: (s, v) => { s.chord = v; },
      read: (s, r, px, py, aft, i) => { const x = r.x0 + (py - r.Z(r.x0)) / r.k; return i ? (x - s.quarter) / (0.75 * s.level) : (x - s.nose) / s.level; } },
    sweep: { at: (s, r) => [r.X(s.y), r.Z(s.quarter)], get: (s) => s.sweep, set: (s, v) => { s.sweep = v; }, outer: true,
      read: (s, r, px, py, aft, i) => { const b = held.stations[i - 1], x = r.x0 + (py - r.Z(r.x0)) / r.k; return Math.atan2(x - b.quarter, s.y - b.y) * 180 / Math.PI; } },
    buttock_line: { at: (s, r) => [r.X(s.y), 54], get: (s) => s.y, set: (s, v) => { s.y = v; }, outer: true, level: true,
      read: (s, r, px) => (px - r.X(0)) / r.k },
  };
  const STATION = { at: (s, r) => [r.X(s.x), r.Z(r.low) + 24], get: (s) => s.x, set: (s, v) => { s.x = v; }, read: (s, r, px) => r.x0 + (px - r.X(r.x0)) / r.k, level: true };

  // The shoulder of a conic lies on the line from the middle of its chord to the corner, at the share rho.
  function full(edge, name) {
    const ends = (s, r, aft) => [[r.B(s.half_breadth / 2, aft), r.H((s.breadth_height + s[edge]) / 2)], [r.B(s.half_breadth, aft), r.H(s[edge])]];
    return {
      own: true, get: (s) => s[name], set: (s, v) => { s[name] = v; },
      at: (s, r, aft) => { const [m, c] = ends(s, r, aft); return m.map((v, i) => v + s[name] * (c[i] - v)); },
      read: (s, r, px, py, aft) => {
        const [m, c] = ends(s, r, aft), way = c.map((v, i) => v - m[i]), size = way[0] ** 2 + way[1] ** 2 || 1;
        return ((px - m[0]) * way[0] + (py - m[1]) * way[1]) / size;
      },
    };
  }

  // A value as it would be written: snapped to a step of the unit that stands in the file.
  function written(point, value) {
    const field = point.field;
    if (point.kind.own) return String(tidy(Math.min(FULL.high, Math.max(FULL.low, Math.round(value / FULL.step) * FULL.step))));
    const step = STEP[field.unit];
    const number = Math.round(value / MM[field.unit] / step) * step;
    return tidy(Math.min(field.high, Math.max(field.low, number))) + " " + field.unit;
  }
  const valueOf = (point, text) => point.kind.own ? Number(text) : parseFloat(text) * MM[point.field.unit];
  const free = (field, kind) => field && field.file !== "--set" && (kind.own || (field.number !== null && field.unit in MM));

  function wanted() {
    const { drawn, body, chosen } = scene, made = [], last = drawn.stations.length - 1;
    drawn.stations.forEach((s, i) => {
      const pole = (i === 0 && drawn.ends[0] === "round") || (i === last && drawn.ends[1] === "round");
      const kinds = { ...(pole ? {} : KINDS[body]), ...(body === "wing" ? {} : { station: STATION }) };
      Object.entries(kinds).forEach(([name, kind]) => {
        if ((kind.own && i !== chosen) || (kind.outer && !i)) return;
        made.push({ key: LISTS[body] + "." + i + "." + name, name, kind, i });
      });
    });
    return made;
  }

  function draw(layer, given) {
    scene = given;
    const seen = new Set();
    wanted().forEach((one) => {
      const field = live.fieldOf(one.key);
      if (!field) return;
      seen.add(one.key);
      let point = known.get(one.key);
      if (!point) { point = built(one); known.set(one.key, point); layer.append(point.element); }
      point.field = field;
      place(point);
    });
    known.forEach((point, key) => { if (!seen.has(key)) { point.element.remove(); known.delete(key); } });
    if (held) tell();
    else if (blamed && known.has(blamed.key)) blame(blamed.key, blamed.words);
  }

  function built(one) {
    const mark = one.kind.own ? scene.shape("path", { class: "mark", d: "M0 -5L5 0L0 5L-5 0Z" })
      : one.kind.level ? scene.shape("path", { class: "mark", d: "M0 -6L5 4H-5Z" })
        : one.name === "breadth_height" || one.name === "waterline" ? scene.shape("path", { class: "mark", d: "M-6 0H6M0 -4V4" }) : scene.shape("circle", { class: "mark", r: 4.5 });
    const element = scene.shape("g", { class: "handle", "data-handle": one.key, role: "slider", "aria-orientation": one.kind.level ? "horizontal" : "vertical" },
      scene.shape("circle", { class: "reach", r: 10 }), mark);
    const point = { ...one, element, text: null, sitting: "" };
    element.addEventListener("pointerdown", (event) => grip(point, event));
    element.addEventListener("pointermove", (event) => { if (held === point && point.dragged) drag(point, event); });
    element.addEventListener("pointerup", () => { if (held === point && point.dragged) letGo(point); });
    element.addEventListener("pointercancel", () => { if (held === point) giveUp(point); });
    element.addEventListener("pointerenter", () => { if (!held) { live.mean(point.field); tip(point); } });
    element.addEventListener("pointerleave", () => { if (!held && !note.classList.contains("refusal")) note.hidden = true; });
    element.addEventListener("focus", () => { live.plan.choose(point.i); live.mean(point.field, 0); if (!note.classList.contains("refusal")) tip(point); });
    element.addEventListener("blur", () => { if (point.timer) letGo(point); point.sitting = ""; });
    element.addEventListener("keydown", (event) => keyed(point, event));
    return point;
  }

  function place(point) {
    const s = scene.drawn.stations[point.i], open = free(point.field, point.kind);
    const [x, y] = point.kind.at(s, scene.room, point.i > scene.drawn.widest);
    const e = point.element, value = point.kind.get(s);
    e.setAttribute("transform", "translate(" + x.toFixed(1) + " " + y.toFixed(1) + ")");
    e.classList.toggle("chosen", point.i === scene.chosen);
    e.classList.toggle("fixed", !open);
    e.setAttribute("tabindex", open ? "0" : "-1");
    e.setAttribute("aria-disabled", String(!open));
    e.setAttribute("aria-label", point.name.replaceAll("_", " ") + (scene.body === "wing" ? ", section " : ", station ") + (point.i + 1));
    e.setAttribute("aria-valuenow", tidy(value)); e.setAttribute("aria-valuetext", point.text || point.field.written);
    e.setAttribute("aria-valuemin", point.kind.own ? FULL.low : point.field.low * (MM[point.field.unit] || 1));
    e.setAttribute("aria-valuemax", point.kind.own ? FULL.high : point.field.high * (MM[point.field.unit] || 1));
    point.x = x; point.y = y;
  }

  // The figure beside the point; a refusal stays there until the next hand.
  function say(point, text, refused) {
    note.textContent = text;
    note.className = refused ? "refusal" : "";
    note.hidden = false;
    const wide = holder.clientWidth, left = point.x - holder.scrollLeft + holder.offsetLeft, topp = point.y - holder.scrollTop + holder.offsetTop;
    note.style.left = Math.max(0, Math.min(left + 14, wide - note.offsetWidth - 4)) + "px";
    note.style.top = Math.max(0, topp > 60 ? topp - note.offsetHeight - 8 : topp + 14) + "px";
  }
  const named = (point) => point.name.replaceAll("_", " ") + " ";
  function tip(point) {
    say(point, named(point) + point.field.written + (free(point.field, point.kind) ? "" : ": it hangs on another place or is set on the command line; write it among the numbers"));
  }
  function tell() {
    const was = point_was(held), by = tidy(valueOf(held, held.text) - was);
    const unit = held.kind.own ? "" : held.field.unit, shown = held.kind.own ? by : tidy(by / MM[unit]);
    if (held.refused) say(held, named(held) + held.text + "\n" + held.refused, true);
    else say(held, named(held) + held.text + (shown ? " (" + (shown > 0 ? "+" : "") + Number(shown.toPrecision(6)) + (unit ? " " + unit : "") + ")" : ""));
  }
  const point_was = (point) => point.from;

  function begin(point) {
    held = point;
    point.refused = "";
    point.stations = scene.drawn.stations.map((s) => ({ ...s }));
    point.field = live.fieldOf(point.key) || point.field;
    // The file's own value: the drawing may be of the state before.
    if (!point.kind.own) point.kind.set(point.stations[point.i], point.field.number * MM[point.field.unit]);
    point.from = point.kind.get(point.stations[point.i]);
    point.start = point.text = written(point, point.from);
    if (!point.sitting) point.sitting = run + "-" + (sittings += 1);
  }

  function grip(point, event) {
    if (!free(point.field, point.kind) || event.button) return;
    event.preventDefault();
    if (held && held !== point && held.timer) letGo(held);
    point.element.focus({ preventScroll: true });
    try { point.element.setPointerCapture(event.pointerId); } catch (error) { /* a pointer that is gone has none */ }
    point.sitting = "";
    begin(point);
    point.dragged = true;
    point.off = [event.clientX - point.x, event.clientY - point.y];
    // The drawing keeps its scale while a hand is on it.
    point.room = scene.room;
    tell();
  }

  function drag(point, event) {
    const px = event.clientX - point.off[0], py = event.clientY - point.off[1];
    const s = point.stations[point.i];
    move(point, written(point, point.kind.read(s, point.room, px, py, point.i > scene.drawn.widest, point.i)));
  }

  function move(point, text) {
    if (text === point.text) return;
    point.text = text;
    point.refused = "";
    const stations = point.stations.map((s) => ({ ...s }));
    point.kind.set(stations[point.i], valueOf(point, text));
    live.plan.ask(stations);
    look(point);
  }

  // One question at a time, and always the newest: the very lines of the loft.
  async function look(point) {
    if (busy) return;
    busy = true;
    let asked = null;
    try {
      while (held === point && asked !== point.text) {
        asked = point.text;
        const { ok, told } = await live.post("lines", { changes: { [point.key]: asked } });
        if (held !== point || asked !== point.text) continue;
        point.refused = ok ? "" : live.refusal(told);
        if (ok) live.plan.answered(told);
        tell();
      }
    } catch (error) {
      if (held === point) { point.refused = live.SILENT; tell(); }
    } finally {
      busy = false;
    }
    if (held && held !== point && !held.refused) look(held);
  }

  function letGo(point) {
    clearTimeout(point.timer);
    point.timer = null;
    point.dragged = false;
    const text = point.text;
    if (text === point.start) { held = null; point.text = null; live.plan.back(); tip(point); return; }
    holder.dataset.letGo = String(performance.now());
    point.waits = true;
    live.ask("change " + point.key, () => send(point, text));
  }

  async function send(point, text) {
    try {
      const { ok, told } = await live.post("change", { key: point.key, value: text, sitting: point.sitting });
      if (ok) {
        live.confirm(told.changed ? told.key + ": " + told.former + " → " + told.written + (told.reads ? " (" + told.reads + ")" : "") + ", written into the file."
          : told.key + " is " + told.written + " in the file as it was: nothing to write.");
        holder.dataset.wrote = told.written;
        done(point, null);
      } else done(point, live.refusal(told));
    } catch (error) {
      done(point, live.SILENT + ": whether it was written is seen in the file");
    }
  }

  // A hand that has taken the point again meanwhile keeps it.
  function done(point, refusal) {
    point.waits = false;
    if (held !== point || point.dragged || point.timer) return;
    held = null;
    const text = point.text;
    point.text = null;
    if (refusal === null) { note.hidden = true; return; }
    live.plan.back();
    say(point, named(point) + text + " was not written.\n" + refusal, true);
  }

  function giveUp(point) {
    clearTimeout(point.timer);
    point.timer = null;
    point.dragged = false;
    held = null;
    point.text = null;
    note.hidden = true;
    live.plan.back();
  }

  function keyed(point, event) {
    if (event.key === "Escape") { if (held === point) { event.preventDefault(); giveUp(point); } note.hidden = true; note.className = ""; return; }
    if (event.key === "Enter") {
      event.preventDefault();
      if (held === point) letGo(point);
      live.openKey(point.key);
      const one = live.fieldItself(point.key);
      if (one && one.input) one.input.focus();
      return;
    }
    const way = { ArrowUp: 1, ArrowRight: 1, PageUp: 10, ArrowDown: -1, ArrowLeft: -1, PageDown: -10 }[event.key];
    if (!way || !free(point.field, point.kind) || point.dragged) return;
    event.preventDefault();
    if (held && held !== point && held.timer) letGo(held);
    if (held !== point) begin(point);
    const step = (event.shiftKey ? 10 : 1) * way * (point.kind.own ? FULL.step : STEP[point.field.unit] * MM[point.field.unit]);
    move(point, written(point, valueOf(point, point.text) + step));
    clearTimeout(point.timer);
    point.timer = setTimeout(() => letGo(point), RESTED);
    tell();
  }

  let blamed = null;
  function blame(key, words) {
    blamed = words ? { key, words } : null;
    const point = known.get(key);
    if (blamed && point && !held) say(point, named(point) + point.field.written + "\n" + words, true);
    if (!blamed && note.dataset.blame) { note.hidden = true; note.className = ""; }
    note.dataset.blame = blamed ? "yes" : "";
  }

  live.handles = {
    draw,
    blame,
    busy: () => Boolean(held),
    clear: () => { if (held) giveUp(held); known.forEach((point) => point.element.remove()); known.clear(); note.hidden = true; },
  };
})();
