// The bar of a check, for pages that are filled by a script; bar.html.j2 draws the same without one.
"use strict";
function checkBar(check) {
  const made = check.bar;
  function drawn(name, attributes) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.entries(attributes).forEach(([key, value]) => element.setAttribute(key, value));
    return element;
  }
  const words = "measured " + check.measured + ", " + check.limit + ", margin " + (check.margin || "none");
  const svg = drawn("svg", { class: "bar", viewBox: "0 0 100 20", preserveAspectRatio: "none", role: "img", "aria-label": words });
  const line = (kind, x1, x2, y1, y2) => svg.append(drawn("line", { class: kind, x1, x2, y1, y2 }));
  const [low, high] = made.allowed;
  svg.append(drawn("rect", { class: "allowed", x: low, y: 4, width: Math.max(high - low, 0.4), height: 12 }));
  if (!made.low_open) line("limit", low, low, 1, 19);
  if (!made.high_open) line("limit", high, high, 1, 19);
  line(made.inside ? "margin" : "margin out", made.margin[0], made.margin[1], 10, 10);
  line("value", made.value, made.value, 3, 17);
  if (made.error > 0.5) line("error", made.value - made.error, made.value + made.error, 16, 16);
  return svg;
}
