// Checks, changes and drawings as elements; every text goes in as text, never as markup.
"use strict";
const live = {
  at: (id) => document.getElementById(id),
  all: (selector) => Array.from(document.querySelectorAll(selector)),
};
(function () {
  const kept = new Map();

  live.made = function (name, attributes, ...inside) {
    const element = document.createElement(name);
    Object.entries(attributes || {}).forEach(([key, value]) => {
      if (value === true) element.setAttribute(key, "");
      else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, value);
    });
    element.append(...inside.filter((one) => one !== null && one !== ""));
    return element;
  };

  function figures(check) {
    const rest = (check.limit ? "; " + check.limit : "") + (check.margin ? "; margin " + check.margin : "");
    return live.made("p", { class: "figures" }, live.made("b", {}, check.measured), rest);
  }

  function row(check) {
    const m = live.made;
    const show = m("a", { class: "show", href: "#model", "data-show": check.id, hidden: true }, "Show in the model");
    show.addEventListener("click", () => live.show(check.id));
    const more = m("div", { class: "more" }, show, check.where ? m("span", {}, check.where) : null,
      check.note ? m("span", {}, m("strong", {}, "Note: "), check.note) : null);
    if (check.details.length) {
      more.append(m("details", {}, m("summary", {}, "How it was measured, and why this limit"),
        m("ul", {}, ...check.details.map((line) => m("li", {}, line)))));
    }
    return m("li", { id: "check-" + check.id, class: check.kind },
      m("div", {}, m("h4", {}, check.what), m("code", {}, check.id)),
      m("p", { class: "verdict" }, m("span", { "aria-hidden": "true" }, check.sign), " " + check.word),
      figures(check), m("div", {}, check.bar ? checkBar(check) : ""), more);
  }

  // A row that reads the same stays the same element: what is open in it stays open.
  function rowOf(check) {
    const text = JSON.stringify(check), known = kept.get(check.id);
    if (known && known.text === text) return known.element;
    const element = row(check);
    const open = known && known.element.querySelector("details[open]");
    if (open && element.querySelector("details")) element.querySelector("details").open = true;
    kept.set(check.id, { text, element });
    return element;
  }

  live.showVerdict = function (verdict) {
    if (!verdict) return;
    const head = live.at("verdict");
    head.className = verdict.worst;
    head.dataset.sign = verdict.sign;
    if (head.textContent !== verdict.sentence) head.textContent = verdict.sentence;
    head.dataset.revision = verdict.revision;
    live.at("counts").textContent = verdict.counts;
    live.at("notices").replaceChildren(...verdict.notices.map((line) =>
      live.made("p", {}, live.made("strong", {}, "NOTICE "), line)));
    live.at("groups").replaceChildren(...verdict.groups.map((group) => live.made("div", {},
      live.made("h3", {}, group.title + " (" + group.checks.length + ")"),
      live.made("ol", { class: "checks" }, ...group.checks.map(rowOf)))));
    live.markPlaces();
  };

  function changed(row) {
    const m = live.made;
    const link = m("a", { href: "#check-" + row.id }, row.what);
    return m("tr", { class: row.mood }, m("th", { scope: "row" }, link, m("br"), m("code", {}, row.id)),
      m("td", { class: "number" }, row.former), m("td", { class: "number" }, row.new),
      m("td", { class: "number" }, row.margin || "–"),
      m("td", { class: "tone " + row.kind }, m("span", { "aria-hidden": "true" }, row.sign), " " + row.words));
  }

  live.showChanges = function (changes) {
    if (!changes) return;
    const seconds = changes.seconds.toFixed(1) + " s after the save";
    const parts = changes.made + " steps made, " + changes.kept + " taken from before";
    const many = changes.rows.length;
    live.at("changes-words").textContent = changes.first
      ? "Revision " + changes.revision + ", the first state seen: " + seconds.replace("the save", "the start") + " (" + parts + ")."
      : "Revision " + changes.revision + ", " + seconds + " (" + parts + "): " +
        (many ? many + (many === 1 ? " figure differs" : " figures differ") + " from the state before." : "no figure differs from the state before.");
    live.at("changes-rows").replaceChildren(...changes.rows.map(changed));
    live.at("changes-table").hidden = !many;
    live.all("ol.checks > li.new").forEach((one) => one.classList.remove("new"));
    changes.rows.forEach((one) => {
      const element = live.at("check-" + one.id);
      if (element) element.classList.add("new");
    });
  };

  function balanced(row) {
    const m = live.made;
    const link = m("a", { href: "#check-" + row.id }, row.what);
    return m("tr", {}, m("th", { scope: "row" }, link, row.where ? m("span", { class: "key" }, row.where) : ""),
      m("td", { class: "number", "data-name": "now" }, row.measured),
      m("td", { class: "number", "data-name": "moved by" }, row.moved),
      m("td", { "data-name": "limit" }, row.limit || "–"),
      m("td", { class: "number", "data-name": "margin" }, row.margin || "–"),
      m("td", { class: "tone " + row.kind }, m("span", { "aria-hidden": "true" }, row.sign), " " + row.word));
  }

  live.showBalance = function (balance) {
    live.at("balance").hidden = live.at("balance-link").hidden = !balance;
    if (!balance) return;
    live.at("balance-rows").replaceChildren(...balance.rows.map(balanced));
    live.at("balance-loadings").hidden = !balance.envelope;
    // The drawing is the server's own, its names escaped there.
    const drawn = new DOMParser().parseFromString(balance.envelope, "text/html");
    live.at("envelope").replaceChildren(...drawn.body.children);
  };

  live.showDrawings = function (drawings, revision) {
    if (!drawings) return;
    live.at("sheets").replaceChildren(...drawings.shown.map((one) => live.made("figure", {},
      live.made("div", { class: "sheet", tabindex: "0", role: "region", "aria-label": one.caption },
        live.made("img", { src: "body/" + one.name, alt: one.caption })),
      live.made("figcaption", {}, one.caption))));
  };
})();
