// The trade: two figures of all variants against each other, those that pass on top.
"use strict";
(function () {
  const plot = study.at("plot"), hint = study.at("hint"), draw = study.drawn;
  const LEFT = 60, RIGHT = 18, TOP = 12, BOTTOM = 30, REACH = 14;
  // Marks are smaller where there are many.
  const SIZE = study.many > 300 ? 3.5 : 5, ARM = 0.7 * SIZE;
  // A limit further off than so many times what the variants differ by is not in the plot.
  const NEAR = 1;
  let placed = [];

  // From end to end of what is plotted, with room; a limit widens it when it is near.
  function range(axis) {
    const known = study.known(axis);
    let low = known.reduce((a, b) => Math.min(a, b)), high = known.reduce((a, b) => Math.max(a, b));
    const span = high - low;
    axis.limits.filter((at) => !span || (at > low - NEAR * span && at < high + NEAR * span))
      .forEach((at) => { low = Math.min(low, at); high = Math.max(high, at); });
    const room = 0.07 * (high - low) || 0.05 * Math.abs(high) || 1;
    return [low - room, high + room];
  }

  function ticks([low, high], many) {
    const raw = (high - low) / many, power = 10 ** Math.floor(Math.log10(raw));
    const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= raw);
    const found = [];
    for (let at = Math.ceil(low / step) * step; at <= high + 1e-9 * step; at += step) found.push(Math.abs(at) < 1e-9 * step ? 0 : at);
    return found;
  }

  function frame(svg, x, y, wide, high) {
    const grid = draw("g", { class: "grid" });
    [[x, Math.max(2, wide / 110), true], [y, Math.max(2, high / 60), false]].forEach(([side, many, flat]) => {
      const values = side.axis.names ? side.axis.names.map((_, i) => i) : ticks(side.range, many), text = study.rounder(side.axis, values);
      values.forEach((value) => {
        const at = side.at(value);
        grid.append(draw("line", flat ? { x1: at, x2: at, y1: TOP, y2: high - BOTTOM } : { y1: at, y2: at, x1: LEFT, x2: wide - RIGHT }));
        grid.append(draw("text", flat ? { x: at, y: high - BOTTOM + 18, "text-anchor": "middle" } : { x: LEFT - 8, y: at + 4, "text-anchor": "end" }, text(value)));
      });
      side.axis.limits.filter((at) => at >= side.range[0] && at <= side.range[1]).forEach((value) => {
        const at = side.at(value);
        grid.append(draw("line", { class: "limit", ...(flat ? { x1: at, x2: at, y1: TOP, y2: high - BOTTOM } : { y1: at, y2: at, x1: LEFT, x2: wide - RIGHT }) }));
      });
    });
    svg.append(grid);
  }

  const CROSS = ["M", -ARM, -ARM, "L", ARM, ARM, "M", -ARM, ARM, "L", ARM, -ARM].join(" ");
  function mark({ i, x, y }) {
    const { kind, number } = study.variants[i], own = { "data-number": number, class: kind };
    if (kind === "pass" || kind === "waits") return draw("circle", { ...own, cx: x, cy: y, r: SIZE });
    const turn = "translate(" + x + " " + y + ")";
    return kind === "fail" ? draw("path", { ...own, d: CROSS, transform: turn }) : draw("rect", { ...own, x: -ARM, y: -ARM, width: 2 * ARM, height: 2 * ARM, transform: turn });
  }

  function side(select, from, to) {
    const axis = study.byId.get(study.at(select).value), ends = range(axis);
    return { axis, range: ends, at: (value) => from + (value - ends[0]) / (ends[1] - ends[0]) * (to - from) };
  }

  function show() {
    const wide = plot.clientWidth, high = plot.clientHeight - study.all(".axis", plot).reduce((sum, one) => sum + one.offsetHeight, 0);
    if (!wide || high < 80) return;
    const x = side("axis-x", LEFT, wide - RIGHT), y = side("axis-y", high - BOTTOM, TOP);
    const svg = draw("svg", { viewBox: "0 0 " + wide + " " + high, width: wide, height: high, "aria-hidden": "true" });
    frame(svg, x, y, wide, high);
    placed = study.each.filter((i) => x.axis.values[i] !== null && y.axis.values[i] !== null)
      .map((i) => ({ i, x: x.at(x.axis.values[i]), y: y.at(y.axis.values[i]) }));
    const rank = { lost: 0, fail: 1, waits: 2, pass: 3 };
    placed.sort((a, b) => rank[study.variants[a.i].kind] - rank[study.variants[b.i].kind]);
    svg.append(...placed.map(mark));
    const best = placed.filter(({ i }) => study.variants[i].best);
    // With two weighed figures the best compromises lie on a border that no passing variant crosses.
    const ways = [x, y].map((one) => study.weighed[one.axis.id]);
    if (ways.every(Boolean) && Object.keys(study.weighed).length === 2 && x.axis !== y.axis) {
      const line = best.slice().sort((a, b) => a.x - b.x);
      svg.append(draw("path", { class: "border", d: line.map((one, k) => (k ? "L" : "M") + one.x + " " + one.y).join("") }));
    }
    svg.append(...best.map((one) => draw("circle", { class: "best", "data-best": study.variants[one.i].number, cx: one.x, cy: one.y, r: 9 })));
    svg.append(draw("circle", { class: "open", id: "plot-open", r: 12, visibility: "hidden" }));
    plot.replaceChildren(study.made("p", { class: "axis up" }, ...study.title(y.axis)), svg, study.made("p", { class: "axis" }, ...study.title(x.axis)));
    fade();
    study.markOpen();
    plot.dataset.plot = "ready";
    const room = plot.clientHeight - study.all(".axis", plot).reduce((sum, one) => sum + one.offsetHeight, 0);
    // Titles of another height leave another room.
    if (Math.abs(room - high) > 1 && room > 80 && !show.again) { show.again = true; show(); show.again = false; }
  }

  function fade() {
    const out = new Set(study.each.filter((i) => !study.inside(i)).map((i) => String(study.variants[i].number)));
    study.all("[data-number], [data-best]", plot).forEach((one) => one.classList.toggle("out", out.has(one.dataset.number || one.dataset.best)));
  }

  study.markPlot = function (i) {
    const own = study.at("plot-open"), found = placed.find((one) => one.i === i);
    if (!own) return;
    own.setAttribute("visibility", found ? "visible" : "hidden");
    if (found) { own.setAttribute("cx", found.x); own.setAttribute("cy", found.y); }
  };

  function under(event) {
    const box = plot.querySelector("svg").getBoundingClientRect(), x = event.clientX - box.left, y = event.clientY - box.top;
    const near = placed.map((one) => ({ ...one, away: Math.hypot(one.x - x, one.y - y) })).filter((one) => one.away < REACH && study.inside(one.i));
    const worth = ({ i, away }) => away + (study.variants[i].kind === "pass" ? 0 : 4);
    return near.sort((a, b) => worth(a) - worth(b))[0];
  }

  function words(found) {
    const { i } = found, variant = study.variants[i];
    const here = placed.filter((one) => one.i !== i && Math.hypot(one.x - found.x, one.y - found.y) < 1).map((one) => study.variants[one.i].number);
    const kind = { lost: "not built", waits: "undecided" }[variant.kind] || study.words[variant.kind];
    const few = here.slice(0, 6).join(", ") + (here.length > 6 ? " and " + (here.length - 6) + " more" : "");
    return ["Variant " + variant.number + ": " + kind + (variant.best ? ", best compromise" : ""),
      ...study.keys.map((key, k) => key.what + " " + variant.values[k]),
      ...Object.keys(study.weighed).map((id) => study.byId.get(id)).filter(Boolean).map((axis) => axis.what + " " + study.withUnit(axis, axis.values[i])),
      here.length ? "here too: " + few : ""].filter(Boolean);
  }

  study.hint = function (lines, event) {
    hint.hidden = !lines.length;
    if (!lines.length) return;
    hint.replaceChildren(...lines.map((line) => study.made("span", {}, line)));
    const wide = hint.offsetWidth, right = event.clientX + 16 + wide < document.documentElement.clientWidth;
    hint.style.left = Math.max(4, right ? event.clientX + 16 : event.clientX - wide - 16) + "px";
    hint.style.top = Math.max(4, Math.min(event.clientY + 12, window.innerHeight - hint.offsetHeight - 8)) + "px";
  };

  function start() {
    const [x, y] = study.shown;
    const known = study.axes.filter((axis) => study.known(axis).length), order = [...known.filter((axis) => axis.varied), ...known.filter((axis) => !axis.varied)];
    study.fill(study.at("axis-x"), order, x);
    study.fill(study.at("axis-y"), order, y);
    study.all("#axis-x, #axis-y").forEach((select) => select.addEventListener("change", show));
    show();
    new ResizeObserver(show).observe(plot);
    study.onRanges(fade);
    plot.addEventListener("pointermove", (event) => {
      const found = under(event);
      plot.classList.toggle("pressable", Boolean(found));
      study.hint(found ? words(found) : [], event);
    });
    plot.addEventListener("pointerleave", (event) => study.hint([], event));
    plot.addEventListener("click", (event) => { const found = under(event); if (found) study.show(study.variants[found.i].number); });
  }

  study.markOpen = () => { if (study.open !== undefined) study.markPlot(study.rowOf(study.open)); };
  study.startPlot = function () {
    if (study.axes.filter((axis) => study.known(axis).length).length > 1) start();
    else plot.firstElementChild.textContent = "There are no two figures to plot.";
  };
})();
