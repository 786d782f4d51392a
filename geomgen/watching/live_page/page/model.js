// The 3D view. Camera, shown parts and the chosen check stay as they are when a new state comes.
"use strict";
(function () {
  const LOOKS = {
    "front-quarter": [-0.72, -0.62, 0.32], "rear-quarter": [0.72, -0.62, 0.32],
    left: [0, -1, 0], front: [-1, 0, 0], above: [-0.001, 0, 1],
  };
  const FAR = 1.0, SEEN_THROUGH = 0.22;
  const view = live.at("view"), told = live.at("told"), hidden = new Set();
  let direction = LOOKS["front-quarter"], distance = null, centre = [0, 0, 0], chosen = null;
  let revision = 0, old = 0, room = null, places = [], data = [], pressure = null, pressed = "", wanted = 0, drawing = Promise.resolve();

  // The viewer is the largest of the scripts and comes last.
  const viewer = new Promise((done) => {
    if (document.readyState === "complete") done();
    window.addEventListener("load", done);
  });
  const placed = (p) => p.map((v, i) => (v - room.middle[i]) / room.longest);
  const unit = (v) => { const n = Math.hypot(...v) || 1; return v.map((c) => c / n); };
  const xyz = (v) => ({ x: v[0], y: v[1], z: v[2] });
  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const far = () => FAR * Math.max(1, 1.5 * view.clientHeight / Math.max(1, view.clientWidth));

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
    const spans = live.at("show-spans").checked, openings = live.at("show-openings").checked;
    return data.map((trace) => {
      const meta = trace.meta;
      const visible = meta.pressed ? Boolean(pressed) && meta.parts.some((part) => !hidden.has(part))
        : meta.part ? !hidden.has(meta.part) && !(pressed && pressure.felt.includes(meta.part))
        : meta.check === chosen || (meta.kind === "span" ? spans : openings);
      const solid = trace.opacity === undefined ? 1 : trace.opacity;
      const own = {};
      // The swept volume, seen through, is felt as a disc.
      if (pressed && meta.part && trace.opacity === 1) own.color = pressure.unfelt;
      if (pressed && meta.states) own.intensity = meta.states[pressed];
      return { ...trace, ...own, visible, opacity: meta.part && thin ? Math.min(solid, SEEN_THROUGH) : solid };
    });
  }

  // One drawing at a time, and only the newest one that was asked for.
  function draw() {
    if (!room || !window.Plotly) return;
    const mine = ++wanted;
    view.dataset.settled = "no";
    drawing = drawing.then(() => {
      if (mine !== wanted) return null;
      return Plotly.react(view, dressed(), layout(), { displayModeBar: false, responsive: true, scrollZoom: true });
    }).then(() => { if (mine === wanted) view.dataset.settled = "yes"; }).catch(failed);
  }

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
    const answer = await fetch("body/model");
    if (!answer.ok) return;
    const scene = await answer.json();
    const canvas = document.createElement("canvas");
    if (!canvas.getContext("webgl2") && !canvas.getContext("webgl")) { failed("no WebGL"); return; }
    await viewer;
    if (!window.Plotly) { failed("the viewer could not be loaded"); return; }
    if (room) look();
    const note = view.querySelector(".note");
    if (note) note.remove();
    ({ room, places } = scene);
    pressure = scene.pressure || null;
    live.at("pressure").hidden = !pressure;
    press(pressure && pressure.states.some((one) => one.name === pressed) ? pressed : "");
    data = scene.traces;
    if (distance === null) distance = far();
    partList(scene.parts);
    live.markPlaces();
    draw();
    await drawing;
    if (view.dataset.model !== "none") view.dataset.model = "ready";
    view.dataset.revision = section.revision;
    revision = section.revision;
    live.showAges();
  };
  function press(name) {
    pressed = name;
    live.all("[data-state]").forEach((button) => button.setAttribute("aria-pressed", String(button.dataset.state === name)));
    live.at("pressure-scale").hidden = !name;
    const told = name && pressure.states.find((one) => one.name === name);
    live.at("pressure-words").textContent = told ? "Pressure coefficient Cp, " + name + ", " + told.speed + " m/s" : "";
  }
  live.all("[data-state]").forEach((button) => button.addEventListener("click", () => { press(button.dataset.state); look(); draw(); }));

  live.drawnRevision = () => revision;

  // What is told of a measured place goes with the model, and says when that is an old one.
  function tell() {
    const place = places.find((one) => one.id === chosen);
    const words = place ? (old ? "Old, of revision " + old + ": " : "") + place.text + ". " + place.words : "";
    if (told.textContent !== words) told.textContent = words;
    told.classList.toggle("age", Boolean(words && old));
  }
  live.markTold = function (since) { old = since; tell(); };

  live.markPlaces = function () {
    const known = new Set(places.map((place) => place.id));
    live.all("[data-show]").forEach((link) => { link.hidden = !known.has(link.dataset.show); });
  };

  live.show = function (id) {
    const place = places.find((one) => one.id === id);
    if (!place || !room) return;
    chosen = id;
    centre = placed(place.at);
    distance = Math.max(0.12, 3.2 * place.reach / room.longest);
    const [x, y, z] = LOOKS["rear-quarter"];
    direction = [x, place.at[1] > 1 ? -y : y, z];
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
