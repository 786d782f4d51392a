// The 3D view: shows and hides parts, goes to the place of a check. Everything else needs no script.
"use strict";
(function () {
  const scene = JSON.parse(document.getElementById("scene-data").textContent);
  const view = document.getElementById("view");
  const told = document.getElementById("told");
  const all = (selector) => Array.from(document.querySelectorAll(selector));
  const box = (id) => document.getElementById(id);
  const room = scene.room;
  // Directions that the eye looks from: x aft, y to the right, z up.
  const LOOKS = {
    "front-quarter": [-0.72, -0.62, 0.32], "rear-quarter": [0.72, -0.62, 0.32],
    left: [0, -1, 0], front: [-1, 0, 0], above: [-0.001, 0, 1],
  };
  const FAR = 1.0, SEEN_THROUGH = 0.22, ROOMY = 700;
  let direction = LOOKS["front-quarter"], distance = FAR, centre = [0, 0, 0], chosen = null;

  const data = scene.traces;
  const felt = new Set(scene.pressure ? scene.pressure.felt : []);
  let state = "", drawn = "";
  const placed = (p) => p.map((v, i) => (v - room.middle[i]) / room.longest);
  const unit = (v) => { const n = Math.hypot(...v); return v.map((c) => c / n); };
  const xyz = (v) => ({ x: v[0], y: v[1], z: v[2] });
  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

  function camera() {
    const way = unit(direction);
    return { up: { x: 0, y: 0, z: 1 }, center: xyz(centre),
      eye: xyz(centre.map((c, i) => c + way[i] * distance)), projection: { type: "perspective" } };
  }

  // The viewer's own camera moves when the model is dragged; the buttons go on from there.
  function look() {
    const now = view.layout && view.layout.scene && view.layout.scene.camera;
    if (!now || !now.eye || !now.center) return;
    centre = [now.center.x, now.center.y, now.center.z];
    const way = [now.eye.x, now.eye.y, now.eye.z].map((e, i) => e - centre[i]);
    distance = Math.hypot(...way);
    direction = unit(way);
  }

  function axis(name) {
    return { visible: false, showspikes: false, range: room[name].range, autorange: false };
  }

  // The viewer sees at 45 degrees: where a point [mm] stands in the view, in pixels from its middle.
  function seen(point) {
    const way = unit(direction), eye = centre.map((c, i) => c + way[i] * distance);
    const right = unit([-way[1], way[0], 0]);
    const up = [way[1] * right[2] - way[2] * right[1], way[2] * right[0] - way[0] * right[2],
      way[0] * right[1] - way[1] * right[0]];
    const from = placed(point).map((c, i) => c - eye[i]);
    const along = (axis) => from[0] * axis[0] + from[1] * axis[1] + from[2] * axis[2];
    const deep = Math.max(1e-6, -along(way));
    const pixels = view.clientHeight / 2 / Math.tan(Math.PI / 8);
    return { x: along(right) / deep * pixels, y: -along(up) / deep * pixels };
  }

  function label(place, text, strong, ax, ay) {
    return { x: place[0], y: place[1], z: place[2], text: text, showarrow: true, arrowhead: 0,
      ax: ax, ay: ay, arrowcolor: colour("--ink"), bgcolor: colour("--card"),
      bordercolor: colour("--ink"), borderpad: 3,
      font: { size: strong ? 14 : 12, color: colour("--ink") } };
  }

  // How broad a label is, in pixels: its text in the viewer's own letters, its border.
  const pen = document.createElement("canvas").getContext("2d");
  function broad(text) {
    pen.font = "bold 12px 'Open Sans', verdana, arial, sans-serif";
    return pen.measureText(text.replace(/<[^>]*>/g, "")).width + 10;
  }

  // Figures stand in two columns at the sides, in the order of their places from above. Their inner
  // ends are in one line, where the lines to the places begin: to a place between the columns none
  // runs through another label.
  function columns(places) {
    const spots = places.map((place) => ({ place: place, spot: seen(place.at) }));
    spots.sort((a, b) => a.spot.x - b.spot.x);
    const half = Math.ceil(spots.length / 2), found = [];
    [spots.slice(0, half), spots.slice(half)].forEach((some, side) => {
      some.sort((a, b) => a.spot.y - b.spot.y);
      const text = (one) => one.place.id + "  <b>" + one.place.figure + "</b>";
      const x = (side ? 1 : -1) * (view.clientWidth / 2 - 10 - Math.max(...some.map((one) => broad(text(one)))));
      const step = Math.min(26, (view.clientHeight - 40) / Math.max(1, some.length));
      some.forEach((one, i) => {
        const y = (i - (some.length - 1) / 2) * step;
        found.push({ ...label(one.place.at, text(one), false, x - one.spot.x, y - one.spot.y),
          xanchor: side ? "left" : "right" });
      });
    });
    return found;
  }

  // One check that was asked for stands alone; otherwise all that were measured between points.
  function labels() {
    const one = scene.places.find((place) => place.id === chosen);
    if (one) return [label(one.at, one.text, true, 110, -110)];
    // Figures would cover what the colours say.
    return !state && box("show-figures").checked ? columns(scene.places.filter((place) => place.figure)) : [];
  }

  // The whole machine fits a narrow view too.
  function far() {
    return FAR * Math.max(1, 1.5 * view.clientHeight / Math.max(1, view.clientWidth));
  }

  function layout() {
    return { paper_bgcolor: "rgba(0,0,0,0)", margin: { l: 0, r: 0, t: 0, b: 0 }, showlegend: false,
      scene: { xaxis: axis("x"), yaxis: axis("y"), zaxis: axis("z"), aspectmode: "manual",
        aspectratio: { x: room.x.share, y: room.y.share, z: room.z.share }, dragmode: "orbit",
        camera: camera(), annotations: labels() } };
  }

  function restyle() {
    const parts = new Map(all("[data-part]").map((input) => [input.dataset.part, input.checked]));
    const thin = box("see-through").checked;
    const visible = [], opacity = [], values = [], tints = [], pressed = [], bodies = [];
    data.forEach((trace) => {
      const meta = trace.meta;
      if (meta.pressed) visible.push(state !== "" && meta.parts.some((part) => parts.get(part)));
      else if (meta.part) visible.push(parts.get(meta.part) && !(state && felt.has(meta.part)));
      else if (meta.kind === "mark") visible.push(chosen !== null);
      else if (meta.check === chosen) visible.push(true);
      else visible.push(box(meta.kind === "span" ? "show-spans" : "show-openings").checked);
      opacity.push(meta.part && thin && !meta.inside ? Math.min(trace.solid, SEEN_THROUGH) : trace.solid);
    });
    // Before anything is asked of it, the viewer has the colours that it was given.
    if (state !== drawn) data.forEach((trace, i) => {
      // The swept volume, seen through, is felt as a disc.
      if (trace.meta.part && trace.solid === 1) { bodies.push(i); tints.push(state ? scene.pressure.unfelt : trace.tint); }
      if (state && trace.meta.states) { pressed.push(i); values.push(numbers(trace.meta.states[state])); }
    });
    drawn = state;
    return Plotly.restyle(view, { visible: visible, opacity: opacity })
      .then(() => bodies.length ? Plotly.restyle(view, { color: tints }, bodies) : null)
      .then(() => pressed.length ? Plotly.restyle(view, { intensity: values }, pressed) : null);
  }

  // Packed numbers of four bytes each.
  function numbers(packed) {
    const bytes = Uint8Array.from(atob(packed.bdata), (letter) => letter.charCodeAt(0));
    return new Float32Array(bytes.buffer);
  }

  function press(name) {
    state = name;
    all("[data-state]").forEach((button) => button.setAttribute("aria-pressed", String(button.dataset.state === name)));
    box("pressure-scale").hidden = !name;
    const told = name && scene.pressure.states.find((one) => one.name === name);
    box("pressure-words").textContent = told ? "Pressure coefficient Cp, " + name + ", " + told.speed + " m/s" : "";
    look(); draw();
  }

  function draw() {
    view.dataset.settled = "no";
    return restyle()
      .then(() => Plotly.relayout(view, { "scene.camera": camera(), "scene.annotations": labels() }))
      .then(() => { view.dataset.settled = "yes"; });
  }

  function show(id) {
    const place = scene.places.find((one) => one.id === id);
    if (!place) return;
    chosen = id;
    centre = placed(place.at);
    distance = Math.max(0.12, 3.2 * place.reach / room.longest);
    const [x, y, z] = LOOKS["rear-quarter"];
    direction = [x, place.at[1] > 1 ? -y : y, z];
    box("see-through").checked = true;
    const mark = data[data.length - 1];
    mark.x = [place.at[0]]; mark.y = [place.at[1]]; mark.z = [place.at[2]];
    told.textContent = place.text + ". " + place.words;
    Plotly.restyle(view, { x: [mark.x], y: [mark.y], z: [mark.z] }, [data.length - 1]).then(draw);
  }

  function wire() {
    all("[data-show]").forEach((link) => link.addEventListener("click", () => show(link.dataset.show)));
    all("[data-part], #show-spans, #show-openings, #see-through")
      .forEach((input) => input.addEventListener("change", () => { look(); draw(); }));
    box("show-figures").addEventListener("change", () => { chosen = null; look(); draw(); });
    all("[data-parts]").forEach((button) => button.addEventListener("click", () => {
      all("[data-part]").forEach((input) => { input.checked = button.dataset.parts === "all"; });
      look(); draw();
    }));
    all("[data-state]").forEach((button) => button.addEventListener("click", () => press(button.dataset.state)));
    all("[data-look]").forEach((button) => button.addEventListener("click", () => {
      direction = LOOKS[button.dataset.look]; distance = far(); centre = [0, 0, 0]; chosen = null;
      told.textContent = "";
      draw();
    }));
    all("[data-zoom]").forEach((button) => button.addEventListener("click", () => {
      look();
      distance = Math.min(5, Math.max(0.02, distance * Number(button.dataset.zoom)));
      draw();
    }));
    all("[data-turn]").forEach((button) => button.addEventListener("click", () => {
      look();
      const [round, up] = button.dataset.turn.split(",").map((degrees) => Number(degrees) * Math.PI / 180);
      const [x, y, z] = unit(direction);
      const height = Math.min(1.55, Math.max(-1.55, Math.asin(z) + up));
      const turn = Math.atan2(y, x) + round;
      direction = [Math.cos(height) * Math.cos(turn), Math.cos(height) * Math.sin(turn), Math.sin(height)];
      draw();
    }));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { look(); draw(); });
  }

  data.forEach((trace) => { trace.tint = trace.color; trace.solid = trace.opacity === undefined ? 1 : trace.opacity; });
  data.push({ type: "scatter3d", mode: "markers", x: [0], y: [0], z: [0], visible: false, hoverinfo: "skip",
    marker: { size: 9, symbol: "circle-open", color: colour("--span"), line: { width: 3 } },
    meta: { kind: "mark" }, solid: 1, showlegend: false });
  const note = view.querySelector(".note");
  function failed(why) {
    view.dataset.model = "none";
    note.textContent = "This browser can't show the model in 3D (" + why + "). The pictures and drawings below show it.";
  }
  try {
    const canvas = document.createElement("canvas");
    if (!canvas.getContext("webgl2") && !canvas.getContext("webgl")) { failed("no WebGL"); return; }
    note.remove();
    distance = far();
    box("show-figures").checked = view.clientWidth >= ROOMY;
    Plotly.newPlot(view, data, layout(), { displayModeBar: false, responsive: true, scrollZoom: true })
      .then(() => { wire(); view.dataset.model = "ready"; view.dataset.settled = "yes"; view.dataset.readyAfter = String(performance.now()); });
  } catch (error) {
    view.append(note);
    failed(String(error));
  }
})();
