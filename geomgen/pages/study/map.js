// Verdicts over two keys as coloured cells: a value each, or a stretch where there are too many.
"use strict";
(function () {
  const MOST = 12, BINS = 8, m = study.made;
  const keys = study.axes.filter((axis) => axis.varied && study.distinct(axis).length > 1);
  const figures = [...Object.keys(study.weighed), ...study.axes.filter((axis) => !axis.varied).map((axis) => axis.id)];
  const measured = Array.from(new Set(figures)).map((id) => study.byId.get(id)).filter(Boolean);
  const [down, across, shown] = ["map-down", "map-across", "map-shown"].map(study.at);

  if (keys.length < 2) { study.without("map"); return; }

  // The heads of one side, and which of them a value falls under.
  function heads(axis) {
    const values = study.distinct(axis);
    if (axis.names || values.length <= MOST) return { names: values.map((value) => study.round(axis, value)), of: (value) => values.indexOf(value) };
    const low = values[0], step = (values[values.length - 1] - low) / BINS;
    const ends = Array.from({ length: BINS + 1 }, (_, k) => low + k * step), text = study.rounder(axis, [0, step]);
    return { names: ends.slice(1).map((end, k) => text(ends[k]) + " to " + text(end)), of: (value) => Math.min(BINS - 1, Math.floor((value - low) / step)) };
  }

  // What is opened from a cell: one that passes if there is one, a best compromise, the best figure.
  function chosen(some, axis) {
    const way = axis && axis.way === "low" ? 1 : -1;
    const worth = (i) => axis && axis.values[i] !== null ? way * axis.values[i] : Infinity;
    const rank = (i) => ["pass", "waits"].indexOf(study.variants[i].kind) >>> 0;
    return some.slice().sort((a, b) => rank(a) - rank(b) || (axis && axis.way ? worth(a) - worth(b) : study.variants[b].best - study.variants[a].best) || a - b)[0];
  }

  function cell(some, axis, words) {
    const inside = some.filter(study.inside);
    if (!some.length) return m("td", { class: "none" }, "–");
    if (!inside.length) return m("td", { class: "out" }, m("span", { class: "unseen" }, "outside the ranges"));
    const passing = inside.filter((i) => study.variants[i].kind === "pass"), built = inside.filter((i) => study.variants[i].kind !== "lost");
    const kind = passing.length === inside.length ? "pass" : passing.length ? "some" : inside.some((i) => study.variants[i].kind === "waits") ? "waits" : built.length ? "fail" : "lost";
    const one = chosen(inside, axis), verdict = inside.length > 1 ? passing.length + " of " + inside.length : "";
    const text = axis ? study.round(axis, axis.values[one]) : verdict;
    const said = { pass: "passes", some: verdict + " pass", waits: "undecided", fail: "fails", lost: "not built" }[kind];
    const best = inside.some((i) => study.variants[i].best);
    const button = m("button", { type: "button", "aria-label": words + ": " + said + (axis ? ", " + axis.what + " " + study.withUnit(axis, axis.values[one]) : "") + (best ? ", best compromise" : "") },
      m("span", { class: "sign" }, { pass: "✓", some: "✓", waits: "○", fail: "✕", lost: "□" }[kind] + (best ? " ◎" : "")), " " + text);
    button.addEventListener("click", () => study.show(study.variants[one].number));
    const made = m("td", { class: kind, "data-passing": passing.length, "data-many": inside.length }, button);
    made.style.setProperty("--share", Math.round(100 * passing.length / inside.length) + "%");
    return made;
  }

  function show() {
    const [rows, columns, figure] = [down, across, shown].map((select) => study.byId.get(select.value));
    const lines = heads(rows), tops = heads(columns), cells = new Map();
    study.each.forEach((i) => {
      const place = lines.of(rows.values[i]) + " " + tops.of(columns.values[i]);
      if (!cells.has(place)) cells.set(place, []);
      cells.get(place).push(i);
    });
    const table = study.at("map-table");
    table.replaceChildren(
      m("thead", {}, m("tr", {}, m("td", { rowspan: 2, class: "corner" }, ...study.title(rows)), m("th", { colspan: tops.names.length, scope: "colgroup" }, ...study.title(columns))),
        m("tr", {}, ...tops.names.map((name) => m("th", { scope: "col" }, name)))),
      m("tbody", {}, ...lines.names.map((name, r) => m("tr", {}, m("th", { scope: "row" }, name),
        ...tops.names.map((top, c) => cell(cells.get(r + " " + c) || [], figure, rows.what + " " + name + ", " + columns.what + " " + top))))));
    const many = Math.max(...Array.from(cells.values(), (some) => some.length));
    study.at("map-words").textContent = (figure ? figure.what + (figure.unit ? " [" + figure.unit + "]" : "") + (many > 1 ? " of the variant that opens, the best that passes. " : ". ") : many > 1 ? "How many of the cell's variants pass. " : "") + "Press a cell: its variant opens.";
  }

  const [a, b] = study.map.length ? study.map.map((k) => study.axisOfKey(k)) : keys;
  study.fill(down, keys, a.id);
  study.fill(across, keys, b.id);
  // The plot has the first two figures that were asked for, the cells the third.
  const third = measured.find((axis) => axis.id === study.shown[2]) || measured[0];
  study.fill(shown, measured, third ? third.id : "", "verdict alone");
  [down, across].forEach((select, k) => select.addEventListener("change", () => {
    // A key against itself says nothing: the other side takes what this one had.
    const other = k ? down : across;
    if (down.value === across.value) other.value = select.dataset.was;
    [down, across].forEach((one) => { one.dataset.was = one.value; });
    show();
  }));
  [down, across].forEach((one) => { one.dataset.was = one.value; });
  shown.addEventListener("change", show);
  study.onRanges(show);
  show();
})();
