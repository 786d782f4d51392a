// From a part to its numbers, from a number to the part and the place that it moves.
"use strict";
(function () {
  const WAIT = 180;
  const picked = live.at("picked");
  let rules = [], chosen = [], meant = null, timer = null;

  const within = (table, above) => table === above || table.startsWith(above + ".");
  live.within = within;
  live.partsKnown = new Promise((done) => { live.learnParts = function (some) { rules = some; done(); }; });
  const tablesOf = (part) => (rules.find((rule) => new RegExp(rule.part).test(part)) || { tables: [] }).tables;
  live.hasNumbers = (part) => tablesOf(part).length > 0;
  const words = (part) => part.replaceAll("_", " ");

  // The parts that a table shapes: those whose own tables hold it, before those that only share it.
  function partsOf(table) {
    const all = Array.from(new Set([...live.partNames(), ...live.drawnNames()]));
    const own = all.filter((part) => { const first = tablesOf(part)[0]; return first && within(table, first); });
    return own.length ? own : all.filter((part) => tablesOf(part).some((above) => within(table, above)));
  }

  live.pick = function (part) {
    const tables = tablesOf(part);
    chosen = [part];
    meant = null;
    picked.replaceChildren(live.made("b", {}, words(part)), tables.length ? "" : ": no numbers of its own in the file.");
    if (tables.length) {
      live.showTables(tables, words(part));
      live.pane("numbers");
    }
    relight();
  };

  // Tables that were asked for by name light up what they shape.
  live.pickTables = function (tables) {
    chosen = Array.from(new Set(tables.flatMap(partsOf)));
    meant = null;
    picked.replaceChildren(chosen.length ? live.made("b", {}, chosen.map(words).join(", ")) : "");
    relight();
  };

  // Lines that show where a number stands: a plane across the axis that it counts along.
  function marksOf(field, parts) {
    if (field.mm === null) return [];
    const name = field.name.split(".").pop();
    const axis = /(^|_)station$|^leading_edge$|^mouth$/.test(name) ? 0 : /buttock_line$/.test(name) ? 1
      : /waterline$|sill$|^(crown|keel|breadth_height)$/.test(name) ? 2 : -1;
    if (axis < 0 || !live.partNames().length) return [];
    const box = live.boxOf(parts).map(([low, high]) => [low - 0.04 * (high - low) - 10, high + 0.04 * (high - low) + 10]);
    const station = live.valueBeside(field, "station");
    // A height of a control station is a line at that station, not the whole plane.
    if (axis === 2 && station !== null && /^(crown|keel|breadth_height)$/.test(name)) {
      return [[[station, box[1][0], field.mm], [station, box[1][1], field.mm]]];
    }
    const [a, b] = [0, 1, 2].filter((i) => i !== axis);
    return [[[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]].map(([i, j]) => {
      const point = [0, 0, 0];
      point[axis] = field.mm; point[a] = box[a][i]; point[b] = box[b][j];
      return point;
    })];
  }

  function relight() {
    const parts = meant ? partsOf(meant.table) : chosen;
    const own = meant ? marksOf(meant, parts) : [];
    live.all("[data-key].lit").forEach((one) => one.classList.remove("lit"));
    if (meant) live.all("[data-key='" + CSS.escape(meant.key) + "']").forEach((one) => one.classList.add("lit"));
    live.light(parts, own);
    live.lightDrawings(parts);
  }
  live.relight = relight;

  // A number that is pointed at for a moment, or has the focus.
  live.mean = function (field, at) {
    clearTimeout(timer);
    timer = setTimeout(() => { meant = field; relight(); }, at === undefined ? WAIT : at);
  };
})();
