// A study's data, what all of the page's scripts share, and its tables sorted and filtered.
"use strict";
const study = JSON.parse(document.getElementById("study-data").textContent);
(function () {
  study.at = (id) => document.getElementById(id);
  study.all = (selector, where) => Array.from((where || document).querySelectorAll(selector));
  study.many = study.variants.length;
  study.each = study.variants.map((_, i) => i);
  const rows = new Map(study.variants.map((variant, i) => [variant.number, i]));
  study.rowOf = (number) => rows.get(Number(number));

  study.made = function (tag, attributes, ...inside) {
    const node = document.createElement(tag);
    Object.entries(attributes || {}).forEach(([key, value]) => { if (value !== null && value !== false) node.setAttribute(key, value); });
    node.append(...inside.filter((one) => one !== null && one !== ""));
    return node;
  };
  study.drawn = function (tag, attributes, text) {
    const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
    Object.entries(attributes).forEach(([key, value]) => node.setAttribute(key, value));
    if (text !== undefined) node.textContent = text;
    return node;
  };

  // A key or an id: it breaks after its dots and underscores only.
  study.code = (text) => study.made("code", {}, ...text.split(/(?<=[._])/).flatMap((step) => [step, study.made("wbr")]));

  // A section that has nothing to show in this study.
  study.without = function (id) {
    study.at(id).hidden = true;
    study.all("nav a").filter((link) => link.getAttribute("href") === "#" + id).forEach((link) => { link.parentNode.hidden = true; });
  };

  // A varied key of words counts as an axis of its own: its words stand in the order asked.
  const words = study.keys.map((key, k) => ({ key, k })).filter(({ key }) => !study.axes.some((axis) => axis.varied && axis.key === key.key))
    .map(({ key, k }) => {
      const names = Array.from(new Set(study.variants.map((variant) => variant.values[k])));
      return { id: "set " + key.key, key: key.key, what: key.what, unit: "", way: "", varied: true, limits: [], names,
        values: study.variants.map((variant) => names.indexOf(variant.values[k])) };
    });
  study.axes.push(...words);
  study.byId = new Map(study.axes.map((axis) => [axis.id, axis]));
  study.axisOfKey = (k) => study.axes.find((axis) => axis.varied && axis.key === study.keys[k].key);
  study.known = (axis) => axis.values.filter((value) => value !== null);
  study.distinct = (axis) => Array.from(new Set(study.known(axis))).sort((a, b) => a - b);

  // As many decimals as tell values apart, no more: a step of 0.05 needs two.
  function decimals(values) {
    const sorted = Array.from(new Set(values)).sort((a, b) => a - b), span = sorted[sorted.length - 1] - sorted[0];
    if (!(span > 0)) return String(Number((sorted[0] || 0).toPrecision(5))).split(".")[1]?.length || 0;
    const steps = sorted.slice(1).map((value, i) => value - sorted[i]);
    const step = Math.max(Math.min(...steps), span / 200);
    let many = Math.min(6, Math.max(0, Math.ceil(-Math.log10(step) - 1e-9)));
    const off = (n) => sorted.length <= 50 && sorted.some((value) => Math.abs(Number(value.toFixed(n)) - value) > 0.02 * step);
    while (many < 6 && off(many)) many += 1;
    return many;
  }
  study.rounder = function (axis, values) {
    const many = decimals(values || study.known(axis));
    return (value) => value === null ? "–" : axis.names ? axis.names[value] : value.toFixed(many).replace("-", "−");
  };
  study.round = (axis, value) => { axis.rounded = axis.rounded || study.rounder(axis); return axis.rounded(value); };
  study.withUnit = (axis, value) => study.round(axis, value) + (axis.unit && value !== null ? " " + axis.unit : "");
  study.wayWords = (axis) => axis.way ? axis.way + "er is better" : "";

  // What an axis is, in words, its unit; its id small beside it.
  study.title = (axis) => [axis.what + " ", study.code(axis.key || axis.id), " ",
    study.made("span", { class: "unit" }, [axis.unit, study.wayWords(axis)].filter(Boolean).join(", "))];
  study.fill = function (select, axes, chosen, none) {
    if (none) select.append(new Option(none, ""));
    axes.forEach((axis) => select.append(new Option(axis.what + (axis.unit ? " [" + axis.unit + "]" : ""), axis.id, false, axis.id === chosen)));
    // Names in words may be the same for two figures: their ids tell them apart.
    const seen = Array.from(select.options, (option) => option.text);
    Array.from(select.options).forEach((option) => {
      if (seen.filter((text) => text === option.text).length > 1) option.dataset.twice = "yes";
    });
    study.all("[data-twice]", select).forEach((option) => { option.text += " " + study.byId.get(option.value).key; });
  };

  // Ranges that were asked for, by axis; what lies outside fades in plots, map and tables.
  study.ranges = new Map();
  study.inside = (i) => Array.from(study.ranges).every(([id, [low, high]]) => {
    const value = study.byId.get(id).values[i];
    return value !== null && value >= low && value <= high;
  });
  const told = [];
  study.onRanges = (work) => told.push(work);
  study.rangesMoved = () => told.forEach((work) => work());

  // ---- the tables

  const RANK = { pass: 0, waits: 1, fail: 2, lost: 3 };
  function worth(row, what) {
    const i = study.rowOf(row.dataset.number), variant = study.variants[i];
    if (what === "number") return variant.number;
    if (what === "verdict") return RANK[variant.kind];
    const axis = what.startsWith("key-") ? study.axisOfKey(Number(what.slice(4))) : study.byId.get(what.slice(5));
    return axis.values[i] === null ? Infinity : axis.values[i];
  }

  function sort(button) {
    const head = button.closest("th"), up = head.getAttribute("aria-sort") !== "ascending";
    study.all("#table th[aria-sort]").forEach((other) => other.removeAttribute("aria-sort"));
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    const sorted = study.all("#table tbody tr").map((row) => [worth(row, button.dataset.sort), row]);
    sorted.sort(([a, one], [b, other]) => (up ? 1 : -1) * (a === b ? 0 : a - b) || one.dataset.number - other.dataset.number);
    study.at("table").tBodies[0].append(...sorted.map(([, row]) => row));
  }

  function filter() {
    const want = study.at("filter").value;
    let shown = 0;
    study.all("#table tbody tr").forEach((row) => {
      const i = study.rowOf(row.dataset.number), variant = study.variants[i];
      row.hidden = !study.inside(i) || (want === "best" ? !variant.best : want !== "all" && variant.kind !== want);
      shown += !row.hidden;
    });
    study.all("#best tbody tr").forEach((row) => row.classList.toggle("out", !study.inside(study.rowOf(row.dataset.number))));
    study.at("count").textContent = shown + " of " + study.many + " shown";
  }

  study.all("[data-sort]").forEach((button) => button.addEventListener("click", () => sort(button)));
  study.at("filter").addEventListener("change", filter);
  study.onRanges(filter);
  filter();
})();
