// The plot of a study, its tables sorted and filtered, and the variant that is open.
"use strict";
(function () {
  const study = JSON.parse(document.getElementById("study-data").textContent);
  const box = (id) => document.getElementById(id);
  const all = (selector) => Array.from(document.querySelectorAll(selector));
  const plot = box("plot"), body = box("opened-body");
  const byId = new Map(study.axes.map((axis) => [axis.id, axis]));
  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const BAR_FIELDS = 9;
  // A limit further off than so many times what the variants differ by is not in the plot.
  const NEAR = 2;
  let open = null;

  function made(tag, text, className) {
    const node = document.createElement(tag);
    if (text !== undefined && text !== null) node.textContent = text;
    if (className) node.className = className;
    return node;
  }

  // ---- the plot

  function fill(select, chosen, none) {
    if (none) select.append(new Option("none", ""));
    [["varied", true], ["measured", false]].forEach(([label, varied]) => {
      const group = document.createElement("optgroup");
      group.label = label;
      study.axes.filter((axis) => axis.varied === varied).forEach((axis) => {
        group.append(new Option(axis.id, axis.id, false, axis.id === chosen));
      });
      if (group.children.length) select.append(group);
    });
    select.addEventListener("change", draw);
  }

  const titled = (axis) => axis.id + (axis.unit ? " [" + axis.unit + "]" : "");
  const short = (value) => (value === null ? "–" : String(Number(value.toPrecision(6))));

  const spot = (i, axes) => axes.slice(0, 2).map((axis) => short(axis.values[i])).join(" ");

  // The numbers of the variants whose points lie on each other, by their spot.
  function crowds(rows, axes) {
    const found = new Map();
    rows.forEach((i) => {
      const here = spot(i, axes);
      if (!found.has(here)) found.set(here, []);
      found.get(here).push(study.variants[i].number);
    });
    return found;
  }

  function hover(i, axes, crowd) {
    const variant = study.variants[i];
    const head = "variant " + variant.number + ": " + variant.status;
    const keys = study.keys.map((key, k) => key + " " + variant.values[k]);
    const shown = axes.filter((axis) => axis && !axis.varied)
      .map((axis) => axis.id + " " + short(axis.values[i]) + " " + axis.unit);
    const others = crowd.get(spot(i, axes)).filter((number) => number !== variant.number);
    const few = others.slice(0, 6).join(", ");
    if (others.length) shown.push("here too: " + few + (others.length > 6 ? " and " + (others.length - 6) + " more" : ""));
    return [head, ...keys, ...shown].map((line) => line.replace(/[<>&]/g, " ")).join("<br>");
  }

  function points(rows, axes, crowd, extra) {
    const [x, y] = axes;
    return { type: "scatter", mode: "markers", x: rows.map((i) => x.values[i]),
      y: rows.map((i) => y.values[i]), customdata: rows.map((i) => study.variants[i].number),
      text: rows.map((i) => hover(i, axes, crowd)), hovertemplate: "%{text}<extra></extra>", ...extra };
  }

  function marker(rows, shade, symbol, plain) {
    const look = { symbol: symbol, size: 11, line: { width: 1, color: colour("--ink") } };
    if (!shade) return { ...look, color: plain };
    return { ...look, color: rows.map((i) => shade.values[i]), coloraxis: "coloraxis" };
  }

  // The convex hull of points (Andrew's monotone chain), closed.
  function hull(spots) {
    const sorted = spots.slice().sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    const turn = (o, a, b) => (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    const chain = (some) => some.reduce((line, spot) => {
      while (line.length > 1 && turn(line[line.length - 2], line[line.length - 1], spot) <= 0) line.pop();
      line.push(spot);
      return line;
    }, []);
    const low = chain(sorted), high = chain(sorted.slice().reverse());
    return [...low.slice(0, -1), ...high.slice(0, -1), low[0]];
  }

  // From end to end of what is plotted, with room; a limit widens it when it is near.
  function range(axis) {
    const known = axis.values.filter((value) => value !== null);
    if (!known.length) return undefined;
    let low = known.reduce((a, b) => Math.min(a, b)), high = known.reduce((a, b) => Math.max(a, b));
    const span = high - low;
    axis.limits.filter((at) => !span || (at > low - NEAR * span && at < high + NEAR * span))
      .forEach((at) => { low = Math.min(low, at); high = Math.max(high, at); });
    const room = 0.07 * (high - low) || 0.05 * Math.abs(high) || 1;
    return [low - room, high + room];
  }

  function limits(axis, along) {
    return axis.limits.map((at) => ({ type: "line", layer: "below",
      line: { dash: "dash", width: 1.5, color: colour("--soft") },
      ...(along === "x" ? { x0: at, x1: at, yref: "paper", y0: 0, y1: 1 }
        : { y0: at, y1: at, xref: "paper", x0: 0, x1: 1 }) }));
  }

  function traces(axes) {
    const [x, y, shade] = axes;
    const placed = study.variants.map((_, i) => i).filter((i) => x.values[i] !== null && y.values[i] !== null);
    const of = (kind) => placed.filter((i) => study.variants[i].kind === kind);
    const best = placed.filter((i) => study.variants[i].best);
    const found = [], crowd = crowds(placed, axes);
    const passing = of("pass");
    const region = x.varied && y.varied && passing.length > 2;
    if (region) {
      const line = hull(passing.map((i) => [x.values[i], y.values[i]]));
      found.push({ type: "scatter", mode: "lines", x: line.map((p) => p[0]), y: line.map((p) => p[1]),
        fill: "toself", fillcolor: colour("--allowed"), opacity: 0.5, line: { color: colour("--pass"), width: 1 },
        hoverinfo: "skip", name: "passing" });
    }
    box("hull-words").textContent = region
      ? "Shaded: the least convex outline round the variants that pass; one that fails may lie inside it and is marked." : "";
    // Variants without the figure of the colour keep their place, uncoloured.
    const known = (rows) => rows.filter((i) => !shade || shade.values[i] !== null);
    found.push(points(of("lost"), axes, crowd, { name: "not built",
      marker: marker([], null, "square-open", colour("--soft")) }));
    found.push(points(known(of("waits")), axes, crowd, { name: "undecided", marker: marker(known(of("waits")), shade, "circle-open", colour("--ink")) }));
    found.push(points(known(of("fail")), axes, crowd, { name: "fails", marker: marker(known(of("fail")), shade, "x", colour("--fail")) }));
    found.push(points(known(passing), axes, crowd, { name: "passes", marker: marker(known(passing), shade, "circle", colour("--pass")) }));
    found.push(points(best, axes, crowd, { name: "best compromise", hoverinfo: "skip", hovertemplate: null,
      marker: { symbol: "diamond-open", size: 20, color: colour("--ink"), line: { width: 2, color: colour("--ink") } } }));
    return found;
  }

  function layout(axes) {
    const [x, y, shade] = axes;
    const axis = (one) => ({ title: { text: titled(one), boundary_layer_gap: 12, font: { size: 13 } }, automargin: true,
      range: range(one), gridcolor: colour("--rule"), zeroline: false, linecolor: colour("--soft"), ticks: "outside" });
    return { paper_bgcolor: "rgba(0,0,0,0)", plot_bgcolor: "rgba(0,0,0,0)", showlegend: false,
      font: { color: colour("--ink"), family: "sans-serif", size: 12 }, hovermode: "closest",
      hoverlabel: { align: "left", bgcolor: colour("--card"), bordercolor: colour("--ink"),
        font: { color: colour("--ink") } },
      margin: { l: 60, r: shade ? 10 : 20, t: 20, b: 60 },
      xaxis: axis(x), yaxis: axis(y), shapes: [...limits(x, "x"), ...limits(y, "y")],
      coloraxis: { colorscale: "Cividis", showscale: Boolean(shade),
        colorbar: { title: { text: shade ? titled(shade) : "", side: "right" }, thickness: 14 } } };
  }

  function draw() {
    const axes = ["axis-x", "axis-y", "axis-c"].map((id) => byId.get(box(id).value) || null);
    plot.dataset.settled = "no";
    return Plotly.react(plot, traces(axes), layout(axes), { displaylogo: false, responsive: true,
      displayModeBar: false }).then(() => { plot.dataset.settled = "yes"; });
  }

  function start() {
    const [x, y, shade] = study.shown;
    fill(box("axis-x"), x, false);
    fill(box("axis-y"), y, false);
    fill(box("axis-c"), shade || "", true);
    plot.textContent = "";
    draw().then(() => {
      plot.on("plotly_click", (event) => show(event.points[0].customdata));
      plot.dataset.plot = "ready";
    });
    // On paper the plot is as wide as the sheet leaves room for, 180 mm.
    addEventListener("beforeprint", () => Plotly.relayout(plot, { width: 680, height: 440 }));
    addEventListener("afterprint", draw);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  }

  // ---- the opened variant

  function bar(row, measured, limit, margin) {
    const [low, high, from, to, value, inside, low_open, high_open] = row;
    return checkBar({ measured, limit, margin,
      bar: { allowed: [low, high], margin: [from, to], value, inside, low_open, high_open, error: 0 } });
  }

  function checkRow(row) {
    const [id, what, kind, figure, limit, margin, where, note, source] =
      row.slice(0, BAR_FIELDS).map((place) => study.texts[place]);
    const item = made("li", null, kind);
    const head = made("div");
    head.append(made("h4", what), made("code", id));
    const verdict = made("p", null, "verdict");
    const sign = made("span", study.signs[kind]);
    sign.setAttribute("aria-hidden", "true");
    verdict.append(sign, " " + study.words[kind]);
    const figures = made("p", null, "figures");
    figures.append(made("b", figure), (kind === "info" ? "" : "; " + limit) + (margin ? "; margin " + margin : ""));
    const drawn = made("div");
    if (row[BAR_FIELDS]) drawn.append(bar(row[BAR_FIELDS], figure, limit, margin));
    const more = made("div", null, "more");
    if (where) more.append(made("span", where));
    if (note) more.append(made("span", "Note: " + note));
    if (source) more.append(made("span", "Limit from: " + source));
    item.append(head, verdict, figures, drawn, more);
    return item;
  }

  function facts(variant) {
    const list = made("dl");
    study.keys.forEach((key, k) => list.append(made("dt", key), made("dd", variant.values[k])));
    list.append(made("dt", "status"), made("dd", variant.status + (variant.best ? ", a best compromise" : "")));
    if (variant.figures) list.append(made("dt", "figures"), made("dd", variant.figures));
    if (variant.file) {
      const link = made("a", variant.file);
      link.href = variant.file;
      const cell = made("dd");
      cell.append(link);
      list.append(made("dt", "parameter file"), cell);
      const command = made("dd");
      command.append(made("code", variant.command));
      list.append(made("dt", "to build it, from the folder that holds the study"), command);
    }
    return list;
  }

  function show(number) {
    const at = study.variants.findIndex((one) => one.number === number);
    if (at < 0) return;
    const variant = study.variants[at];
    open = number;
    box("opened-head").textContent = "Variant " + number + ": " + (variant.said || variant.status);
    body.textContent = "";
    body.append(facts(variant));
    if (variant.reason) body.append(made("p", variant.reason, "reason"));
    if (variant.checks.length) {
      const list = made("ol", null, "checks");
      variant.checks.forEach((row) => list.append(checkRow(row)));
      body.append(made("h3", "Checks (" + variant.checks.length + ")"), list);
    }
    const buttons = made("p", null, "buttons");
    [["the one before", -1], ["the next", 1]].forEach(([text, step]) => {
      const other = study.variants[at + step];
      if (!other) return;
      const button = made("button", text + " (" + other.number + ")");
      button.type = "button";
      button.addEventListener("click", () => show(other.number));
      buttons.append(button);
    });
    body.append(buttons);
    all("#table tbody tr").forEach((row) => row.classList.toggle("open-now", Number(row.dataset.number) === open));
    history.replaceState(null, "", "#variant-" + number);
    box("opened").scrollIntoView({ block: "start" });
    box("opened-head").focus({ preventScroll: true });
  }

  // ---- the tables

  const RANK = { pass: 0, waits: 1, fail: 2, lost: 3 };
  const ROWS = new Map(study.variants.map((variant, i) => [variant.number, i]));

  function worth(row, what) {
    const i = ROWS.get(Number(row.dataset.number)), variant = study.variants[i];
    if (what === "number") return variant.number;
    if (what === "verdict") return RANK[variant.kind];
    const k = Number(what.slice(4)), axis = byId.get("set " + study.keys[k]);
    return axis && axis.varied && axis.values[i] !== null ? axis.values[i] : variant.values[k];
  }

  function compare(a, b) {
    return typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b));
  }

  function sort(button) {
    const head = button.closest("th"), up = head.getAttribute("aria-sort") !== "ascending";
    all("#table th[aria-sort]").forEach((other) => other.removeAttribute("aria-sort"));
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    const rows = all("#table tbody tr"), what = button.dataset.sort;
    rows.sort((a, b) => (up ? 1 : -1) * compare(worth(a, what), worth(b, what)) || a.dataset.number - b.dataset.number);
    box("table").tBodies[0].append(...rows);
  }

  function filter() {
    const want = box("filter").value;
    let shown = 0;
    all("#table tbody tr").forEach((row) => {
      const variant = study.variants[ROWS.get(Number(row.dataset.number))];
      row.hidden = want === "best" ? !variant.best : want !== "all" && variant.kind !== want;
      shown += !row.hidden;
    });
    box("count").textContent = shown + " of " + study.variants.length + " shown";
  }

  all("[data-open]").forEach((b) => b.addEventListener("click", () => show(Number(b.dataset.open))));
  all("[data-sort]").forEach((b) => b.addEventListener("click", () => sort(b)));
  box("filter").addEventListener("change", filter);
  filter();
  if (study.axes.length > 1) start();
  else plot.firstElementChild.textContent = "There are no two figures to plot.";
  const asked = /^#variant-(\d+)$/.exec(location.hash);
  if (asked) show(Number(asked[1]));
})();
