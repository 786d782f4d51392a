// The variant that is open: its values, what decides on it, all its checks.
"use strict";
(function () {
  const m = study.made, body = study.at("opened-body"), wide = matchMedia("(min-width: 75rem)");
  let lines = null, shared = null;

  // Read when the first one is opened: it is most of the page.
  function detail(i) {
    if (!lines) {
      lines = study.at("study-details").textContent.trim().split("\n");
      shared = JSON.parse(study.at("study-shared").textContent);
    }
    return JSON.parse(lines[i]);
  }

  function checkRow([place, kind, figure, margin, drawn]) {
    const [id, what, limit, where, note, source] = shared[place];
    const [low, high, from, to, value, inside, low_open, high_open] = drawn;
    const bar = drawn.length ? checkBar({ measured: figure, limit, margin,
      bar: { allowed: [low, high], margin: [from, to], value, inside, low_open, high_open, error: 0 } }) : "";
    const told = [where, note && "Note: " + note, source && "Limit from: " + source].filter(Boolean);
    return m("li", { class: kind }, m("h4", {}, m("span", { class: "sign", "aria-hidden": "true" }, study.signs[kind] + " "), what, " ", study.code(id)),
      m("p", { class: "figures" }, m("span", { class: "verdict" }, study.words[kind]), " ", m("b", {}, figure),
        [kind !== "info" && limit, margin && "margin " + margin].filter(Boolean).map((text) => "; " + text).join("")),
      bar, told.length ? m("details", {}, m("summary", { "aria-label": id + ": where, why this limit" }, "where, why"), ...told.map((line) => m("p", {}, line))) : "");
  }

  function facts(variant, said) {
    const line = (name, ...value) => [m("dt", {}, ...name), m("dd", {}, ...value)];
    // Words of a command stay whole.
    const command = () => said.command.split(" ").flatMap((word) => [m("span", {}, word), " "]);
    const weighed = Object.keys(study.weighed).map((id) => study.byId.get(id)).filter((axis) => axis && !axis.varied);
    const figures = new Map(said.checks.map(([place, , figure]) => [shared[place][0], figure]));
    return m("dl", {}, ...weighed.flatMap((axis) => line([axis.what + " ", study.code(axis.id)], m("b", {}, figures.get(axis.id) || "–"))),
      ...study.keys.flatMap((key, k) => line([key.what + " ", study.code(key.key)], variant.values[k])),
      ...(said.figures ? line(["figures"], said.figures) : []),
      ...(said.file ? line(["parameter file"], m("a", { href: said.file }, said.file)) : []),
      ...(said.file ? [m("dt", { class: "whole" }, "to build it, from the folder that holds the study"), m("dd", { class: "whole" }, m("code", {}, ...command()))] : []));
  }

  function listed(title, rows, open) {
    return rows.length ? m("details", open ? { open: "" } : {}, m("summary", {}, m("h3", {}, title + " (" + rows.length + ")")), m("ol", { class: "checks" }, ...rows.map(checkRow))) : "";
  }

  function steps(at) {
    return m("p", { class: "buttons" }, m("a", { class: "back", href: "#trade" }, "back to the plot"), ...[["the one before", -1], ["the next", 1]].map(([text, step]) => {
      const other = study.variants[at + step];
      if (!other) return "";
      const button = m("button", { type: "button" }, text + " (" + other.number + ")");
      button.addEventListener("click", () => study.show(other.number));
      return button;
    }));
  }

  study.show = function (number) {
    const at = study.rowOf(number);
    if (at === undefined) return;
    const variant = study.variants[at], said = detail(at);
    study.open = variant.number;
    const head = study.at("opened-head"), of = (...kinds) => said.checks.filter(([, kind]) => kinds.includes(kind));
    head.textContent = "Variant " + variant.number + ": " + (said.said || said.status);
    head.className = variant.kind;
    body.replaceChildren(...[variant.best ? m("p", { class: "key" }, "◎ A best compromise.") : "", facts(variant, said),
      said.reason ? m("p", { class: "reason" }, said.reason) : "",
      listed("What keeps it from passing", of("fail", "not_measured"), true), listed("Warnings", of("warn"), false),
      listed("Wait for the exact figures", of("waits"), false), listed("All other checks", of("pass", "info"), false), steps(at)].filter(Boolean));
    study.all("tr[data-number]").forEach((row) => row.classList.toggle("open-now", Number(row.dataset.number) === study.open));
    study.markOpen();
    if (study.drawRanges) study.drawRanges();
    history.replaceState(null, "", "#variant-" + number);
    if (!wide.matches) study.at("opened").scrollIntoView({ block: "start" });
    else study.at("opened").scrollTop = 0;
    head.focus({ preventScroll: true });
  };

  study.all("[data-open]").forEach((button) => button.addEventListener("click", () => study.show(button.dataset.open)));
  study.startPlot();
  const asked = /^#variant-(\d+)$/.exec(location.hash);
  document.addEventListener("DOMContentLoaded", () => {
    if (asked) study.show(asked[1]);
    document.body.dataset.study = "ready";
  });
})();
