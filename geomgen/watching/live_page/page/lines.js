// The lines plan as a loftsman draws it: side view, plan of the right-hand half, body plan.
"use strict";
(function () {
  const holder = live.at("plan"), words = live.at("lines-words");
  const SPACE = "http://www.w3.org/2000/svg";
  const MARGIN = { left: 58, right: 14, top: 34, bottom: 22 }, BETWEEN = 60, TOOTH = 20, WATERLINES = 200;
  let plans = null, body = "pod", scale = 1, fetched = 0, chosen = 4, svg = null, fixed = null, points = null;
  // What is drawn: the file's own lines, or those of a hand that moves; `exact` says whose they are.
  let drawn = null, exact = true;

  function shape(name, attributes, ...inside) {
    const element = document.createElementNS(SPACE, name);
    Object.entries(attributes).forEach(([key, value]) => element.setAttribute(key, value));
    element.append(...inside.filter((one) => one !== null));
    return element;
  }
  const course = (x, y) => x.map((v, i) => (i ? "L" : "M") + v.toFixed(1) + " " + y[i].toFixed(1)).join("");
  const note = (x, y, text, anchor, kind) => shape("text", { x, y, "text-anchor": anchor || "start", class: kind || "" }, text);

  // Where the views lie, and so many pixels a millimetre has: the body plan beside or below.
  function room() {
    const s = drawn.stations, wide = holder.clientWidth, high = holder.clientHeight;
    const x0 = s[0].x, x1 = s[s.length - 1].x;
    const top = Math.max(...drawn.crown), low = Math.min(...drawn.keel), half = Math.max(...drawn.half_breadth);
    const across = wide - MARGIN.left - MARGIN.right, labels = 40, up = high - MARGIN.top - MARGIN.bottom;
    const beside = Math.min((across - BETWEEN) / (x1 - x0 + 2 * half), (up - BETWEEN) / (top - low + half));
    const below = Math.min((across - labels) / (x1 - x0), (up - 2 * BETWEEN) / (2 * (top - low) + half));
    const k = scale * Math.max(beside, below, 0.02), aside = beside >= below;
    const plan = MARGIN.top + k * (top - low) + BETWEEN;
    const middle = aside ? MARGIN.left + k * (x1 - x0 + half) + BETWEEN : MARGIN.left + k * (x1 - x0) / 2;
    const sections = aside ? MARGIN.top : plan + k * half + BETWEEN;
    return {
      k, x0, x1, top, low, half, plan, middle,
      wide: (aside ? middle + k * half : MARGIN.left + k * (x1 - x0) + labels) + MARGIN.right,
      high: Math.max(plan + k * half, sections + k * (top - low)) + MARGIN.bottom,
      X: (x) => MARGIN.left + k * (x - x0), Z: (z) => MARGIN.top + k * (top - z), Y: (y) => plan + k * y,
      B: (y, aft) => middle + (aft ? -1 : 1) * k * y, H: (z) => sections + k * (top - z),
    };
  }

  // A comb: teeth stand off the line to the outside where it is full, cut off at a length.
  function comb(x, y, curvature, outward, usual) {
    const every = Math.max(1, Math.round(x.length / 110)), tips = [], teeth = [];
    x.forEach((px, i) => {
      const a = Math.max(0, i - 1), b = Math.min(x.length - 1, i + 1);
      const [dx, dy] = [x[b] - x[a], y[b] - y[a]], size = Math.hypot(dx, dy) || 1;
      const long = Math.max(-2, Math.min(2, curvature[i] / usual)) * TOOTH;
      const tip = [px + outward * dy / size * long, y[i] - outward * dx / size * long];
      tips.push(tip);
      if (i % every === 0) teeth.push("M" + px.toFixed(1) + " " + y[i].toFixed(1) + "L" + tip.map((v) => v.toFixed(1)).join(" "));
    });
    return shape("g", { class: "comb" }, shape("path", { class: "teeth", d: teeth.join("") }),
      shape("path", { class: "tips", d: course(tips.map((t) => t[0]), tips.map((t) => t[1])) }));
  }

  function combs(r) {
    const k = drawn.curvature;
    if (!k || !live.at("show-combs").checked) return [];
    const sizes = [...k.crown, ...k.keel, ...k.half_breadth].map(Math.abs).sort((a, b) => a - b);
    const usual = Math.max(sizes[Math.floor(0.75 * sizes.length)], 1e-9);
    const x = drawn.x.map(r.X);
    const radius = 1 / usual / 1000, at = [r.X(r.x0) + 66, 14];
    const key = shape("g", { class: "comb" }, shape("path", { class: "tips", d: "M" + at[0] + " " + (at[1] - 4) + "h" + TOOTH + "m0 -3v6m" + -TOOTH + " -6v6" }),
      note(at[0] + TOOTH + 5, at[1], "a tooth so long: radius " + radius.toPrecision(2) + " m"));
    return [key, comb(x, drawn.crown.map(r.Z), k.crown, 1, usual), comb(x, drawn.keel.map(r.Z), k.keel, -1, usual),
      comb(x, drawn.half_breadth.map(r.Y), k.half_breadth, -1, usual)];
  }

  function grid(r) {
    const made = [];
    for (let z = Math.ceil(r.low / WATERLINES) * WATERLINES; z <= r.top; z += WATERLINES) {
      made.push(shape("path", { class: "grid", d: "M" + r.X(r.x0) + " " + r.Z(z) + "H" + r.X(r.x1) }), note(r.X(r.x1) + 6, r.Z(z) + 4, "WL " + z));
    }
    made.push(shape("path", { class: "centre", d: "M" + r.X(r.x0) + " " + r.Y(0) + "H" + r.X(r.x1) }), note(r.X(r.x1) + 6, r.Y(0) + 4, "CL"),
      shape("path", { class: "centre", d: "M" + r.middle + " " + r.H(r.top) + "V" + r.H(r.low) }));
    let free = -Infinity;
    drawn.stations.forEach((s, i) => {
      const x = r.X(s.x);
      made.push(shape("path", { class: i === chosen ? "grid chosen" : "grid", d: "M" + x + " " + r.Z(r.top) + "V" + r.Y(r.half) }));
      if (x - free < 62) return;
      free = x;
      made.push(note(x, r.Z(r.low) + 40, "STA " + Math.round(s.x), "middle"));
    });
    return made;
  }

  function lines(r) {
    const x = drawn.x.map(r.X), kind = exact ? "line" : "line waits";
    const path = (name, y, more) => {
      const made = shape("path", { class: kind + (more || ""), d: course(x, y) }, shape("title", {}, name));
      made.addEventListener("click", () => live.pick(body === "pod" ? "pod" : "boom_right"));
      return made;
    };
    const held = drawn.held.map(([line, start, end]) => shape("path", { class: "held", d: "M" + r.X(start) + " " + (r.Z(r.low) + 22) + "H" + r.X(end) }, shape("title", {}, line.replaceAll("_", " ") + " held back here")));
    const widest = drawn.stations.reduce((best, s, i) => (s.half_breadth > drawn.stations[best].half_breadth ? i : best), 0);
    const sections = drawn.sections.map((points, i) => {
      const aft = i > widest;
      const one = shape("path", { class: i === chosen ? "section chosen" : "section", "data-section": i, d: points.length ? course(points.map((p) => r.B(p[0], aft)), points.map((p) => r.H(p[1]))) : "" },
        shape("title", {}, "section at STA " + Math.round(drawn.stations[i].x)));
      one.addEventListener("click", () => choose(i));
      return one;
    });
    drawn.widest = widest;
    return [...held, ...sections, path("crown", drawn.crown.map(r.Z)), path("keel", drawn.keel.map(r.Z)),
      path("maximum breadth, its height", drawn.breadth_height.map(r.Z), " thin"), path("half breadth", drawn.half_breadth.map(r.Y)),
      note(r.X(r.x0), 14, "side view", "start", "view"), note(r.X(r.x1), r.Y(r.half) + 14, "plan, right-hand half", "end", "view"),
      note(r.middle, r.H(r.top) - 12, "body plan", "middle", "view"), note(r.middle + 6, r.H(r.low) + 14, "fore"), note(r.middle - 6, r.H(r.low) + 14, "aft", "end")];
  }

  // The wing from above: span to the right, stations aft downward; edges and quarter chord straight.
  function wingRoom() {
    const s = drawn.stations, y1 = s[s.length - 1].y, x0 = Math.min(...s.map((one) => one.nose)), x1 = Math.max(...s.map((one) => one.edge));
    const k = scale * Math.max(0.02, Math.min((holder.clientWidth - 150) / y1, (holder.clientHeight - 110) / (x1 - x0)));
    return { k, x0, wide: 150 + k * y1, high: 110 + k * (x1 - x0), X: (y) => 90 + k * y, Z: (x) => 60 + k * (x - x0) };
  }
  function wing(r) {
    const s = drawn.stations, x = s.map((one) => r.X(one.y));
    const line = (at, more) => {
      const made = shape("path", { class: (exact ? "line" : "line waits") + more, d: course(x, s.map((one) => r.Z(one[at]))) });
      made.addEventListener("click", () => live.pick("wing"));
      return made;
    };
    return [...s.map((one, i) => shape("path", { class: i === chosen ? "grid chosen" : "grid", d: "M" + x[i] + " " + r.Z(one.nose) + "V" + r.Z(one.edge) })),
      shape("path", { class: "centre", d: "M" + x[0] + " 34V" + (r.high - 20) }), line("nose", ""), line("edge", ""), line("quarter", " thin"),
      note(x[0] + 6, 14, "wing from above, right-hand half", "start", "view"), note(x[0] - 8, r.Z(s[0].nose) + 4, "STA " + Math.round(s[0].nose), "end"),
      note(x[0] - 8, r.Z(s[0].edge) + 4, "STA " + Math.round(s[0].edge), "end"), ...s.map((one, i) => note(x[i], 40, "BL " + Math.round(one.y), "middle"))];
  }
  // The same closed form as geomgen's: each quarter chord from the one inboard, by the sweep.
  function planform(stations) {
    stations.forEach((one, i) => {
      const before = stations[i - 1];
      const quarter = before ? before.quarter + (one.y - before.y) * Math.tan(one.sweep * Math.PI / 180) : one.nose + one.level * one.chord / 4;
      Object.assign(one, { quarter, nose: quarter - one.level * one.chord / 4, edge: quarter + 3 * one.level * one.chord / 4 });
    });
    return { stations, ends: drawn.ends, held: [] };
  }

  function draw() {
    if (!drawn || !live.sheetIs("lines") || !holder.clientWidth) return;
    const r = body === "wing" ? wingRoom() : room();
    if (!svg) {
      fixed = shape("g", {}); points = shape("g", {});
      svg = shape("svg", {}, fixed, points);
      holder.replaceChildren(svg);
    }
    svg.setAttribute("width", Math.max(r.wide, 50)); svg.setAttribute("height", r.high);
    fixed.replaceChildren(...(body === "wing" ? wing(r) : [...grid(r), ...combs(r), ...lines(r)]));
    live.handles.draw(points, { room: r, drawn, chosen, body, shape });
    holder.dataset.exact = exact ? "yes" : "no";
    const held = exact && drawn.held.length ? " Held back, not fair as drawn: " + drawn.held.map(([line, start, end, by]) =>
      line.replaceAll("_", " ") + ", STA " + Math.round(start) + " to " + Math.round(end) + (line.startsWith("weight") ? "" : " (" + by + " mm)")).join("; ") + "." : "";
    const text = (body === "wing" ? "Leading edge, quarter chord (dashed), trailing edge." : exact ? "The lines as they are lofted; teeth are curvature." : "Approximate between the stations until geomgen has worked it out.") + held;
    if (words.textContent !== text) words.textContent = text;
  }

  function choose(i) {
    if (i === chosen) return;
    chosen = i;
    draw();
  }

  live.plan = {
    choose,
    now: () => drawn,
    // The lines that a hand asks for: by the plain splines, until geomgen's own come.
    ask: (stations) => { drawn = body === "wing" ? planform(stations) : live.course(stations, drawn.ends); exact = false; draw(); },
    answered: (plans) => { drawn = plans[body]; exact = true; draw(); },
    back: () => { drawn = plans && plans[body]; exact = true; draw(); },
  };

  // The file's own lines, when the file has changed or the sheet is first looked at.
  async function load() {
    if (!live.sheetIs("lines")) return;
    const mine = fetched += 1;
    try {
      const { ok, told } = await live.post("lines", { changes: {} });
      if (mine !== fetched) return;
      if (!ok) { words.textContent = "These lines can't be laid: " + live.refusal(told); return; }
      plans = told;
      chosen = Math.min(chosen, plans[body].stations.length - 1);
      if (!live.handles.busy()) live.plan.back();
      holder.dataset.stamp = live.at("fields").dataset.stamp;
    } catch (error) {
      words.textContent = live.SILENT + ": these lines may be old.";
    }
  }
  document.body.addEventListener("fields", load);
  document.body.addEventListener("sheet", () => { if (live.sheetIs("lines")) { draw(); load(); } });
  new ResizeObserver(draw).observe(holder);
  live.at("show-combs").addEventListener("change", draw);
  function pressed(name, button, then) {
    live.all("[data-" + name + "]").forEach((one) => one.setAttribute("aria-pressed", String(one === button)));
    then(button.dataset[name]);
  }
  live.all("[data-scale]").forEach((button) => button.addEventListener("click", () => pressed("scale", button, (value) => { scale = Number(value); draw(); })));
  live.all("[data-body]").forEach((button) => button.addEventListener("click", () => pressed("body", button, (value) => {
    body = value;
    chosen = 0;
    live.handles.clear();
    if (plans) live.plan.back();
    live.showTables([body]);
    live.pickTables([body]);
  })));
})();
