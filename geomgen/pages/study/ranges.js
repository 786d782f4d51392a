// All keys and weighed figures beside each other, each variant a line; ranges are asked for here.
"use strict";
(function () {
  const courses = study.at("courses"), limits = study.at("limits"), lanes = study.at("lanes"), draw = study.drawn;
  const HIGH = 230, TOP = 12, FOOT = 12, MOST = 9, WIDE = 108, HIT = 34, FEW = 8;
  const wanted = [...study.axes.filter((axis) => axis.varied), ...[...Object.keys(study.weighed), ...study.shown].map((id) => study.byId.get(id))];
  const axes = Array.from(new Set(wanted)).filter((axis) => axis && study.distinct(axis).length > 1).slice(0, MOST);
  let held = null;

  if (axes.length < 3) { study.without("ranges"); return; }
  axes.forEach((axis) => {
    const all = study.distinct(axis);
    axis.low = all[0]; axis.high = all[all.length - 1];
    // What is better stands at the top.
    axis.turned = axis.way === "low";
    // What is dragged is told to a hundredth of the axis.
    axis.fine = study.rounder({ values: [] }, [0, (axis.high - axis.low) / 100]);
  });
  const y = (axis, value) => {
    const share = (value - axis.low) / (axis.high - axis.low);
    return TOP + (axis.turned ? share : 1 - share) * (HIGH - TOP - FOOT);
  };
  const valueAt = (axis, at) => {
    const share = Math.min(1, Math.max(0, (at - TOP) / (HIGH - TOP - FOOT)));
    return axis.low + (axis.turned ? share : 1 - share) * (axis.high - axis.low);
  };
  const x = (k) => (k + 0.5) * courses.clientWidth / axes.length;

  // A variant without a figure has a gap there.
  function course(i) {
    let pen = "M";
    return axes.map((axis, k) => {
      if (axis.values[i] === null) { pen = "M"; return ""; }
      const step = pen + x(k).toFixed(1) + " " + y(axis, axis.values[i]).toFixed(1);
      pen = "L";
      return step;
    }).join("");
  }

  function show() {
    if (!courses.clientWidth) return;
    const svg = draw("svg", { width: courses.clientWidth, height: HIGH, viewBox: "0 0 " + courses.clientWidth + " " + HIGH, "aria-hidden": "true" });
    const inside = study.each.filter(study.inside), kept = new Set(inside);
    // Fainter where many lie on each other.
    svg.style.setProperty("--thin", Math.max(0.03, Math.min(0.55, 100 / (inside.length || 1))));
    const of = (kind) => inside.filter((i) => study.variants[i].kind === kind);
    [["out", study.each.filter((i) => !kept.has(i))], ["lost", of("lost")], ["fail", of("fail")], ["waits", of("waits")], ["pass", of("pass")],
      ["best", inside.filter((i) => study.variants[i].best)], ["open", study.open === undefined ? [] : [study.rowOf(study.open)]]]
      .forEach(([name, some]) => svg.append(draw("path", { class: name, d: some.map(course).join("") || "M0 0" })));
    axes.forEach((axis, k) => lane(svg, axis, k));
    courses.replaceChildren(svg);
    study.at("kept").textContent = study.ranges.size ? inside.length + " of " + study.many + " variants inside, " + of("pass").length + " of them pass" : "";
    study.at("clear").disabled = !study.ranges.size;
  }

  function lane(svg, axis, k) {
    svg.append(draw("line", { class: "lane", x1: x(k), x2: x(k), y1: TOP, y2: HIGH - FOOT }));
    const asked = study.ranges.get(axis.id);
    if (asked) {
      const ends = asked.map((value) => y(axis, Math.min(axis.high, Math.max(axis.low, value))));
      svg.append(draw("rect", { class: "asked", x: x(k) - 6, width: 12, y: Math.min(...ends), height: Math.max(2, Math.abs(ends[1] - ends[0])) }));
    }
    axis.limits.filter((value) => value > axis.low && value < axis.high)
      .forEach((value) => svg.append(draw("line", { class: "limit", x1: x(k) - 10, x2: x(k) + 10, y1: y(axis, value), y2: y(axis, value) })));
    const few = study.distinct(axis), told = few.length <= FEW || axis.names ? few : [axis.low, axis.high];
    told.forEach((value) => svg.append(draw("text", { x: x(k) + 9, y: y(axis, value) + 4 }, study.round(axis, value))));
  }

  function field(axis, end) {
    const name = ["from", "to"][end];
    const input = study.made("input", { type: "text", inputmode: "decimal", "aria-label": axis.what + ", " + name + (axis.unit ? " [" + axis.unit + "]" : ""), placeholder: name, size: 5, "data-axis": axis.id });
    input.addEventListener("change", () => {
      const [from, to] = study.all("[data-axis]", input.parentNode).map((one) => one.value.trim() === "" ? null : Number(one.value.replace("−", "-")));
      const wrong = [from, to].some(Number.isNaN);
      input.setAttribute("aria-invalid", String(wrong));
      if (!wrong) ask(axis, from === null && to === null ? null : [from === null ? -Infinity : from, to === null ? Infinity : to]);
    });
    return input;
  }

  const plain = (axis, value) => axis.fine(value).replace("−", "-");
  function ask(axis, ends) {
    if (ends) study.ranges.set(axis.id, ends); else study.ranges.delete(axis.id);
    study.all("input", limits).filter((one) => one.dataset.axis === axis.id).forEach((one, end) => {
      if (Number(one.value) !== (ends || [])[end]) one.value = ends && Number.isFinite(ends[end]) ? plain(axis, ends[end]) : "";
      one.setAttribute("aria-invalid", "false");
    });
    study.rangesMoved();
  }

  axes.forEach((axis) => {
    const group = axis.names ? "" : study.made("span", { class: "ends" }, field(axis, 0), field(axis, 1));
    limits.append(study.made("div", {}, group, study.made("p", {}, ...study.title(axis))));
  });
  lanes.style.minWidth = axes.length * WIDE + "px";
  limits.style.gridTemplateColumns = "repeat(" + axes.length + ", minmax(0, 1fr))";

  // What is dragged along an axis is asked for; a press that goes nowhere takes it back.
  function at(event) {
    const box = courses.getBoundingClientRect(), px = event.clientX - box.left;
    const k = axes.findIndex((_, i) => Math.abs(x(i) - px) < HIT);
    return k < 0 ? null : { axis: axes[k], from: event.clientY - box.top };
  }
  courses.addEventListener("pointerdown", (event) => { held = at(event); if (held) { event.preventDefault(); courses.setPointerCapture(event.pointerId); } });
  courses.addEventListener("pointermove", (event) => {
    courses.classList.toggle("along", Boolean(held || at(event)));
    if (!held) return;
    const to = event.clientY - courses.getBoundingClientRect().top;
    if (Math.abs(to - held.from) < 4) return;
    held.moved = true;
    const ends = [held.from, to].map((value) => valueAt(held.axis, value)).sort((a, b) => a - b);
    ask(held.axis, ends.map((value) => held.axis.names ? value : Number(plain(held.axis, value))));
  });
  courses.addEventListener("pointerup", () => { if (held && !held.moved) ask(held.axis, null); held = null; });
  study.at("clear").addEventListener("click", () => axes.forEach((axis) => ask(axis, null)));
  study.onRanges(show);
  study.drawRanges = show;
  new ResizeObserver(show).observe(courses);
})();
