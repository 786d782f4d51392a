// Drawings whose lines know their parts: a part that is pressed there opens its numbers.
"use strict";
(function () {
  // In millimetres of paper: a line is meant from so near, it is looked for in such steps, so much
  // to either side it still stands beside or over a place.
  const NEAR = 3, STEP = 1.5, BAND = 2;
  const holder = live.at("sheets"), spots = new WeakMap();
  const words = (part) => part.replaceAll("_", " ");
  let fetched = 0, lit = "[]";

  const linesOf = (svg, part) => Array.from(svg.querySelectorAll("[data-name]")).filter((line) => !part || line.dataset.name === part);

  // A drawing as elements: black on white as on paper, told by its caption.
  function drawn(one, text) {
    // Its own style is forbidden in this page, and a complaint even where it is taken out later.
    const bare = text.replace(/<style>[^<]*<\/style>/, "");
    const svg = document.importNode(new DOMParser().parseFromString(bare, "image/svg+xml").documentElement, true);
    svg.querySelectorAll("title, desc").forEach((each) => each.remove());
    ["id", "aria-labelledby"].forEach((name) => svg.removeAttribute(name));
    svg.setAttribute("role", "group");
    svg.setAttribute("aria-label", one.caption);
    const known = new Set(live.partNames()), firsts = new Map();
    linesOf(svg).forEach((line) => {
      const part = line.dataset.name;
      if (!known.has(part) && !live.hasNumbers(part)) { line.removeAttribute("data-name"); return; }
      if (!firsts.has(part) && !line.parentNode.getAttribute("class").endsWith("hatch")) firsts.set(part, line);
    });
    firsts.forEach((line, part) => {
      Object.entries({ tabindex: -1, role: "button", "aria-label": words(part) + ": open its numbers" })
        .forEach(([name, value]) => line.setAttribute(name, value));
    });
    const [first] = firsts.values();
    if (first) first.setAttribute("tabindex", 0);
    return svg;
  }

  live.showDrawings = async function (section) {
    if (!section) return;
    const mine = ++fetched;
    const texts = await Promise.all(section.shown.map((one) => fetch("body/" + one.name).then((answer) => answer.ok ? answer.text() : "")));
    await live.partsKnown;
    if (mine !== fetched || texts.includes("")) return;
    holder.replaceChildren(...section.shown.map((one, i) => live.made("figure", {},
      live.made("div", { class: "sheet", tabindex: "0", role: "region", "aria-label": one.caption + ", can be scrolled" }, drawn(one, texts[i])),
      live.made("figcaption", {}, one.caption))));
    holder.dataset.revision = section.revision;
    live.relight();
  };

  // The parts that drawings show: all there is to point at until a model is there.
  live.drawnNames = () => linesOf(holder).map((line) => line.dataset.name);

  // Parts in the colour of what is meant, in all drawings.
  live.lightDrawings = function (parts) {
    lit = JSON.stringify(parts);
    holder.querySelectorAll("[data-name]").forEach((line) => line.classList.toggle("lit", parts.includes(line.dataset.name)));
  };

  // Places along the lines of each part, in millimetres of paper.
  function spotsOf(svg) {
    if (!spots.has(svg)) {
      const found = new Map();
      linesOf(svg).filter((line) => !line.parentNode.getAttribute("class").endsWith("hatch")).forEach((line) => {
        const all = found.get(line.dataset.name) || [], long = line.getTotalLength(), many = Math.ceil(long / STEP);
        for (let i = 0; i <= many; i += 1) { const p = line.getPointAtLength(long * i / Math.max(1, many)); all.push([p.x, p.y]); }
        found.set(line.dataset.name, all);
      });
      spots.set(svg, found);
    }
    return spots.get(svg);
  }

  // The part whose line is nearest; else the nearest of those that have lines on all sides of the place.
  function partAt(event) {
    const svg = event.target.closest("svg");
    if (!svg || !svg.getScreenCTM()) return null;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const rows = Array.from(spotsOf(svg), ([part, all]) => {
      let away = Infinity, sides = 0;
      all.forEach(([u, v]) => {
        away = Math.min(away, Math.hypot(u - x, v - y));
        if (Math.abs(v - y) < BAND) sides |= u < x ? 1 : 2;
        if (Math.abs(u - x) < BAND) sides |= v < y ? 4 : 8;
      });
      return { part, away, inside: sides === 15 };
    }).sort((a, b) => a.away - b.away);
    const found = rows.find((row) => row.away <= NEAR) || rows.find((row) => row.inside);
    return found ? found.part : null;
  }

  // What is under the pointer is marked before it is pressed.
  let moving = null;
  holder.addEventListener("pointermove", (event) => {
    if (moving) cancelAnimationFrame(moving);
    moving = requestAnimationFrame(() => {
      moving = null;
      mark(event.target.closest("svg") ? partAt(event) : null);
    });
  });
  holder.addEventListener("pointerleave", () => mark(null));
  function mark(part) {
    holder.querySelectorAll("[data-name]").forEach((line) => line.classList.toggle("under", line.dataset.name === part));
    holder.classList.toggle("pressable", Boolean(part));
    live.at("drawn-part").textContent = part ? words(part) : "";
  }

  let down = null;
  holder.addEventListener("pointerdown", (event) => { down = [event.clientX, event.clientY]; });
  holder.addEventListener("click", (event) => {
    if (!down || Math.hypot(event.clientX - down[0], event.clientY - down[1]) > 5) return;
    const part = partAt(event);
    if (part) live.pick(part);
  });

  // By keys: arrows go from part to part, Enter opens the numbers of the one that has the focus.
  holder.addEventListener("focusin", (event) => { if (event.target.dataset.name) mark(event.target.dataset.name); });
  holder.addEventListener("focusout", () => mark(null));
  holder.addEventListener("keydown", (event) => {
    const own = event.target, part = own.dataset.name;
    if (!part) return;
    const all = Array.from(own.closest("svg").querySelectorAll("[role='button']")), at = all.indexOf(own);
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step) {
      const next = all[(at + step + all.length) % all.length];
      own.setAttribute("tabindex", -1); next.setAttribute("tabindex", 0); next.focus();
    } else if (event.key === "Enter" || event.key === " ") live.pick(part);
    else return;
    event.preventDefault();
  });
})();
