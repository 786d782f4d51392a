// The 3D view. Camera, shown parts and the chosen check stay as they are when a new state comes.
"use strict";
(function () {
  const LOOKS = {
    "front-quarter": [-0.72, -0.62, 0.32], "rear-quarter": [0.72, -0.62, 0.32],
    left: [0, -1, 0], front: [-1, 0, 0], above: [-0.001, 0, 1],
  };
  const FAR = 1.0, SEEN_THROUGH = 0.22, STILL = 5, FOUND = 1500;
  const view = live.at("view"), told = live.at("told"), hidden = new Set();
  let direction = LOOKS["front-quarter"], distance = null, centre = [0, 0, 0], chosen = null;
  let lit = [], marks = [];
  let revision = 0, first = false, asked = 0, old = 0, room = null, places = [], data = [], wanted = 0, drawing = Promise.resolve();
  // Which pressures are shown, and which were asked for: a first shape has none, the exact one has them again.
  let pressure = null, pressed = "", wish = "";

  // The viewer is the largest of the scripts and comes last.
  const viewer = new Promise((done) => {
    if (document.readyState === "complete") done();
    window.addEventListener("load", done);
  });
  const placed = (p) => p.map((v, i) => (v - room.middle[i]) / room.longest);
  const unit = (v) => { const n = Math.hypot(...v) || 1; return v.map((c) => c / n); };
  const xyz = (v) => ({ x: v[0], y: v[1], z: v[2] });
  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  // A flat machine may be looked at from nearer in a wide view than a tall one.
  const far = () => FAR * Math.max(0.55 + 0.85 * room.z.share, 1.5 * view.clientHeight / Math.max(1, view.clientWidth));

  function camera() {
    const way = unit(direction);
    return { up: { x: 0, y: 0, z: 1 }, center: xyz(centre),
      eye: xyz(centre.map((c, i) => c + way[i] * distance)), projection: { type: "perspective" } };
  }

  // The viewer's own camera moves when the model is dragged; the page goes on from there.
  function look() {
    const now = view.layout && view.layout.scene && view.layout.scene.camera;
    if (!now || !now.eye || !now.center) return;
    centre = [now.center.x, now.center.y, now.center.z];
    const way = [now.eye.x, now.eye.y, now.eye.z].map((e, i) => e - centre[i]);
    distance = Math.hypot(...way);
    direction = unit(way);
  }

  function labels() {
    const one = places.find((place) => place.id === chosen);
    if (!one) return [];
    return [{ x: one.at[0], y: one.at[1], z: one.at[2], text: one.text, showarrow: true, arrowhead: 0,
      ax: 90, ay: -90, arrowcolor: colour("--ink"), bgcolor: colour("--card"), bordercolor: colour("--ink"),
      borderpad: 3, font: { size: 14, color: colour("--ink") } }];
  }

  function layout() {
    const axis = (name) => ({ visible: false, showspikes: false, range: room[name].range, autorange: false });
    return { uirevision: "kept", paper_bgcolor: "rgba(0,0,0,0)", margin: { l: 0, r: 0, t: 0, b: 0 }, showlegend: false,
      scene: { uirevision: "kept", xaxis: axis("x"), yaxis: axis("y"), zaxis: axis("z"), aspectmode: "manual",
        aspectratio: { x: room.x.share, y: room.y.share, z: room.z.share }, dragmode: "orbit",
        camera: camera(), annotations: labels() } };
  }

  function dressed() {
    const thin = live.at("see-through").checked;
    const inside = lit.length ? live.boxOf(lit) : null;
    // What is meant is seen through the parts that hold it.
    const holds = (meta) => inside && !lit.includes(meta.part) && live.boxOf([meta.part]).every(([low, high], i) => low <= inside[i][0] && high >= inside[i][1]);
    const spans = live.at("show-spans").checked, openings = live.at("show-openings").checked;
    return data.map((trace) => {
      const meta = trace.meta;
      const visible = meta.pressed ? Boolean(pressed) && meta.parts.some((part) => !hidden.has(part))
        : meta.part ? !hidden.has(meta.part) && !(pressed && pressure.felt.includes(meta.part))
        : meta.check === chosen || (meta.kind === "span" ? spans : openings);
      const solid = trace.opacity === undefined ? 1 : trace.opacity;
      const made = { ...trace, visible, opacity: meta.part && (thin || holds(meta)) ? Math.min(solid, SEEN_THROUGH) : solid };
      // The swept volume, seen through, is felt as a disc.
      if (pressed && meta.part && trace.opacity === 1) made.color = pressure.unfelt;
      if (pressed && meta.states) made.intensity = meta.states[pressed];
      if (!meta.part) return made;
      // Only what can be pointed at is looked for under the pointer.
      made.hoverinfo = solid < 1 ? "skip" : "none";
      return lit.includes(meta.part) ? { ...made, color: colour("--lit"), opacity: Math.max(made.opacity, 0.6) } : made;
    }).concat(marks.map((mark) => ({ type: "scatter3d", mode: "lines", hoverinfo: "skip", showlegend: false, meta: { mark: true },
      x: mark.map((p) => p[0]), y: mark.map((p) => p[1]), z: mark.map((p) => p[2]), line: { width: 5, color: colour("--lit-line") } })));
  }

  // One drawing at a time, and only the newest one that was asked for.
  function draw() {
    if (!room || !window.Plotly) return;
    const mine = ++wanted;
    view.dataset.settled = "no";
    drawing = drawing.then(() => {
      if (mine !== wanted) return null;
      return Plotly.react(view, dressed(), layout(), { displayModeBar: false, responsive: true, scrollZoom: true }).then(listen);
    }).then(() => { if (mine === wanted) view.dataset.settled = "yes"; }).catch(failed);
  }

  new ResizeObserver(() => { if (view.layout && window.Plotly) Plotly.Plots.resize(view); }).observe(view);
  let listening = false, under = null, awaited = null, down = null;
  function listen() {
    if (listening) return;
    listening = true;
    view.on("plotly_hover", (event) => {
      const hit = event.points.find((point) => point.data && point.data.meta && point.data.meta.part);
      under = hit ? hit.data.meta.part : null;
      if (awaited) { awaited(under); awaited = null; }
    });
    view.on("plotly_unhover", () => { under = null; });
  }

  // A press that does not turn the model points at the part under it. The viewer looks for that part
  // when the pointer rests and tells it as hovering; where it has not yet, its next word is awaited.
  view.addEventListener("pointerdown", (event) => { down = { x: event.clientX, y: event.clientY }; awaited = null; }, true);
  view.addEventListener("pointerup", (event) => {
    const still = down && Math.hypot(event.clientX - down.x, event.clientY - down.y) < STILL;
    down = null;
    if (!still || event.button) return;
    if (under) { live.pick(under); return; }
    const mine = awaited = (part) => { if (part) live.pick(part); };
    setTimeout(() => { if (awaited === mine) awaited = null; }, FOUND);
  }, true);

  // Parts in the colour of what is meant, and lines that show where a number stands.
  live.light = function (parts, lines) {
    if (JSON.stringify([parts, lines]) === JSON.stringify([lit, marks])) return;
    lit = parts; marks = lines;
    look(); draw();
  };
  live.partNames = () => data.filter((trace) => trace.meta.part).map((trace) => trace.meta.part);

  // The box of some parts [mm]: where a plane is drawn.
  live.boxOf = function (parts) {
    const some = data.filter((trace) => trace.meta.part && (!parts.length || parts.includes(trace.meta.part)));
    const whole = some.length ? some : data.filter((trace) => trace.meta.part);
    return "xyz".split("").map((axis) => {
      const values = whole.flatMap((trace) => { const all = numbers(trace[axis]); return [least(all), most(all)]; });
      return [Math.min(...values), Math.max(...values)];
    });
  };
  const boxes = new Map();
  function numbers(packed) {
    if (!packed.bdata) return packed;
    if (!boxes.has(packed.bdata)) {
      const raw = Uint8Array.from(atob(packed.bdata), (c) => c.charCodeAt(0));
      const all = new Float32Array(raw.buffer);
      boxes.set(packed.bdata, [least(all), most(all)]);
    }
    return boxes.get(packed.bdata);
  }
  const least = (all) => all.reduce((a, b) => Math.min(a, b), Infinity);
  const most = (all) => all.reduce((a, b) => Math.max(a, b), -Infinity);

  function failed(why) {
    view.dataset.model = "none";
    view.replaceChildren(live.made("p", { class: "note" },
      "This browser can't show the model in 3D (" + why + "). Checks and drawings need no 3D."));
  }

  function partList(parts) {
    live.at("parts").replaceChildren(...parts.map((part) => {
      const input = live.made("input", { type: "checkbox", "data-part": part.name });
      input.checked = !hidden.has(part.name);
      input.addEventListener("change", () => {
        if (input.checked) hidden.delete(part.name); else hidden.add(part.name);
        look(); draw();
      });
      const swatch = live.made("span", { class: "swatch", "aria-hidden": "true" });
      const trace = data.find((one) => one.meta.part === part.name);
      swatch.style.background = trace ? trace.color : "transparent";
      return live.made("label", {}, input, swatch, part.name + (part.faded ? " (swept volume)" : ""));
    }));
  }

  live.showModel = async function (section) {
    if (!section) return;
    const mine = ++asked;
    const answer = await fetch("body/model");
    if (!answer.ok) return;
    const scene = await answer.json();
    if (mine !== asked) return;
    const canvas = document.createElement("canvas");
    if (!canvas.getContext("webgl2") && !canvas.getContext("webgl")) { failed("no WebGL"); return; }
    await viewer;
    if (mine !== asked) return;
    if (!window.Plotly) { failed("the viewer could not be loaded"); return; }
    if (room) look();
    const note = view.querySelector(".note");
    if (note) note.remove();
    ({ room, places } = scene);
    pressure = scene.pressure || null;
    live.at("pressure").hidden = !pressure;
    press(pressure && pressure.states.some((one) => one.name === wish) ? wish : "");
    data = scene.traces;
    boxes.clear();
    if (distance === null) distance = far();
    partList(scene.parts);
    live.relight();
    live.markPlaces();
    draw();
    await drawing;
    if (view.dataset.model !== "none") view.dataset.model = "ready";
    view.dataset.revision = section.revision;
    view.dataset.shape = section.first ? "first" : "exact";
    ({ revision, first } = section);
    live.showAges();
  };
  function press(name) {
    pressed = name;
    live.all("#pressure [data-state]").forEach((button) => button.setAttribute("aria-pressed", String(button.dataset.state === name)));
    live.at("pressure-scale").hidden = !name;
    const told = name && pressure.states.find((one) => one.name === name);
    live.at("pressure-words").textContent = told ? "Pressure coefficient Cp, " + name + ", " + told.speed + " m/s" : "";
  }
  live.all("#pressure [data-state]").forEach((button) => button.addEventListener("click", () => { wish = button.dataset.state; press(wish); look(); draw(); }));

  live.drawnRevision = () => revision;
  live.drawnFirst = () => first;

  // What is told of a measured place goes with the model, and says when that is an old one.
  function tell() {
    const place = places.find((one) => one.id === chosen);
    const words = place ? (old ? "Old, of revision " + old + ": " : "") + place.text + ". " + place.words : "";
    if (told.textContent !== words) told.textContent = words;
    told.classList.toggle("age", Boolean(words && old));
  }
  live.markTold = function (since) { old = since; tell(); };

  // Square to the line between the two closest points, from behind, the side and a little above.
  function across(place) {
    const [x, y, z] = LOOKS["rear-quarter"];
    const usual = unit([x, place.at[1] > 1 ? -y : y, z]);
    const span = data.find((trace) => trace.meta.check === place.id && trace.meta.kind === "span");
    if (!span) return usual;
    const way = ["x", "y", "z"].map((axis) => span[axis][1] - span[axis][0]);
    if (Math.hypot(...way) < 1e-6) return usual;
    const along = unit(way), share = along.reduce((sum, c, i) => sum + c * usual[i], 0);
    const square = usual.map((c, i) => c - share * along[i]);
    return Math.hypot(...square) < 0.2 ? usual : unit(square);
  }

  live.markPlaces = function () {
    const known = new Set(places.map((place) => place.id));
    live.all("[data-show]").forEach((name) => { name.disabled = !known.has(name.dataset.show); });
  };

  live.show = function (id) {
    const place = places.find((one) => one.id === id);
    if (!place || !room) return;
    chosen = id;
    live.pane("model");
    centre = placed(place.at);
    distance = Math.max(0.12, 3.2 * place.reach / room.longest);
    direction = across(place);
    live.at("see-through").checked = true;
    tell();
    moved();
  };

  // `uirevision` keeps what a hand has turned; a button has to say that it means another camera.
  function moved() {
    if (!room || !window.Plotly || !view.layout) { draw(); return; }
    draw();
    const turned = camera();
    drawing = drawing.then(() => Plotly.relayout(view, { "scene.camera": turned }));
  }

  live.all("#show-spans, #show-openings, #see-through").forEach((input) =>
    input.addEventListener("change", () => { look(); draw(); }));
  live.all("[data-parts]").forEach((button) => button.addEventListener("click", () => {
    live.all("[data-part]").forEach((input) => {
      input.checked = button.dataset.parts === "all";
      if (input.checked) hidden.delete(input.dataset.part); else hidden.add(input.dataset.part);
    });
    look(); draw();
  }));
  live.all("[data-look]").forEach((button) => button.addEventListener("click", () => {
    direction = LOOKS[button.dataset.look]; distance = far(); centre = [0, 0, 0]; chosen = null;
    tell();
    moved();
  }));
  live.all("[data-zoom]").forEach((button) => button.addEventListener("click", () => {
    look();
    distance = Math.min(5, Math.max(0.02, distance * Number(button.dataset.zoom)));
    moved();
  }));
  live.all("[data-turn]").forEach((button) => button.addEventListener("click", () => {
    look();
    const [round, up] = button.dataset.turn.split(",").map((degrees) => Number(degrees) * Math.PI / 180);
    const [x, y, z] = unit(direction);
    const height = Math.min(1.55, Math.max(-1.55, Math.asin(z) + up));
    const turn = Math.atan2(y, x) + round;
    direction = [Math.cos(height) * Math.cos(turn), Math.cos(height) * Math.sin(turn), Math.sin(height)];
    moved();
  }));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { look(); draw(); });
})();
