// Lines while the hand still moves: the loft's plain splines, before geomgen has answered.
// What the loft holds back between stations is not worked out here, so the drawing says that it waits.
"use strict";
(function () {
  const ALONG = 160, ROUND = 13;

  // The parameter along a body: an angle towards a round end, else the share of the length.
  function parameter(x, [nose, tail]) {
    const share = x.map((v) => (v - x[0]) / (x[x.length - 1] - x[0]));
    const within = (v) => Math.min(1, Math.max(-1, v));
    if (nose === "round" && tail === "round") return share.map((s) => Math.acos(within(1 - 2 * s)));
    if (nose === "round") return share.map((s) => Math.acos(within(1 - s)));
    return tail === "round" ? share.map((s) => Math.asin(within(s))) : share;
  }

  // The C2 cubic through points; an end without a slope does not bend. Its second derivatives solve a
  // system with three diagonals.
  function spline(v, y, left, right) {
    if (v.length === 2) { v = [v[0], (v[0] + v[1]) / 2, v[1]]; y = [y[0], (y[0] + y[1]) / 2, y[1]]; }
    const n = v.length, h = v.slice(1).map((b, i) => b - v[i]);
    const low = Array(n).fill(0), mid = Array(n).fill(1), high = Array(n).fill(0), d = Array(n).fill(0);
    const rise = (i) => (y[i + 1] - y[i]) / h[i];
    for (let i = 1; i < n - 1; i += 1) {
      low[i] = h[i - 1]; mid[i] = 2 * (h[i - 1] + h[i]); high[i] = h[i];
      d[i] = 6 * (rise(i) - rise(i - 1));
    }
    if (left !== null) { mid[0] = 2 * h[0]; high[0] = h[0]; d[0] = 6 * (rise(0) - left); }
    if (right !== null) { mid[n - 1] = 2 * h[n - 2]; low[n - 1] = h[n - 2]; d[n - 1] = 6 * (right - rise(n - 2)); }
    for (let i = 1; i < n; i += 1) {
      const share = low[i] / mid[i - 1];
      mid[i] -= share * high[i - 1]; d[i] -= share * d[i - 1];
    }
    const second = Array(n).fill(0);
    for (let i = n - 1; i >= 0; i -= 1) second[i] = (d[i] - (i < n - 1 ? high[i] * second[i + 1] : 0)) / mid[i];
    return (t) => {
      let i = 0;
      while (i < n - 2 && t > v[i + 1]) i += 1;
      const a = (v[i + 1] - t) / h[i], b = 1 - a;
      return a * y[i] + b * y[i + 1] + ((a ** 3 - a) * second[i] + (b ** 3 - b) * second[i + 1]) * h[i] ** 2 / 6;
    };
  }

  // A half section from crown to keel: two conics, exact at a control station.
  function section(station) {
    if (Math.min(station.half_breadth, station.crown - station.keel) < 1) return [];
    const quadrant = (edge, rho) => Array.from({ length: ROUND }, (_, k) => {
      const u = k / (ROUND - 1), w = rho / (1 - rho);
      const [b0, b1, b2] = [(1 - u) ** 2, 2 * u * (1 - u) * w, u ** 2], total = b0 + b1 + b2;
      return [(b0 + b1) * station.half_breadth / total, (b0 * station.breadth_height + (b1 + b2) * edge) / total];
    });
    return [...quadrant(station.crown, station.fullness_upper).reverse(), ...quadrant(station.keel, station.fullness_lower).slice(1)];
  }

  live.course = function (stations, ends) {
    const x = stations.map((s) => s.x), v = parameter(x, ends);
    const [nose, tail] = ends.map((end) => (end === "round" ? 0 : null));
    const last = v[v.length - 1], at = [...Array.from({ length: ALONG }, (_, i) => v[0] + (last - v[0]) * i / (ALONG - 1)), ...v].sort((a, b) => a - b);
    const made = { stations, ends, x: at.map(spline(v, x, nose, tail)), curvature: null, held: [], sections: stations.map(section) };
    ["crown", "keel", "breadth_height", "half_breadth"].forEach((name) => { made[name] = at.map(spline(v, stations.map((s) => s[name]), null, null)); });
    return made;
  };
})();
