// Checks and balance as elements; every text goes in as text, never as markup.
"use strict";
const live = {
  at: (id) => document.getElementById(id),
  all: (selector) => Array.from(document.querySelectorAll(selector)),
};
(function () {
  const kept = new Map();
  let near = new Set(), filter = "near";
  live.moved = live.lastMoved = new Set();

  live.made = function (name, attributes, ...inside) {
    const element = document.createElement(name);
    Object.entries(attributes || {}).forEach(([key, value]) => {
      if (value === true) element.setAttribute(key, "");
      else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, value);
    });
    element.append(...inside.filter((one) => one !== null && one !== ""));
    return element;
  };

  // The name of a figure is what is pressed: the model turns to where it was measured.
  function row(check) {
    const m = live.made;
    const name = m("button", { type: "button", class: "name", "data-show": check.id, disabled: true }, check.what);
    name.addEventListener("click", () => live.show(check.id));
    const told = [check.where && "Where: " + check.where, check.note && "Note: " + check.note, ...check.details].filter(Boolean);
    const more = m("details", { class: "more" }, m("summary", { "aria-label": check.id + ": where, how it was measured, why this limit" }, m("code", {}, check.id), check.note ? " note" : ""),
      m("ul", {}, ...told.map((line) => m("li", {}, line))));
    return m("li", { id: "check-" + check.id, class: check.kind + (check.of ? " former" : "") },
      m("h4", {}, m("span", { class: "sign", "aria-hidden": "true" }, check.sign + " "), name),
      m("p", { class: "figures" }, m("span", { class: "verdict" }, check.word),
        check.first_answer ? m("span", { class: "first" }, "first answer") : "",
        check.of ? m("span", { class: "first" }, "of the state before (revision " + check.of + ")") : "", " ", check.measured === check.word ? "" : m("b", {}, check.measured),
        [check.limit, check.margin && "margin " + check.margin].filter(Boolean).map((text) => "; " + text).join("")),
      m("div", { class: "scale" }, check.bar ? checkBar(check) : ""), told.length ? more : m("code", {}, check.id));
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

  // The hand stays where it was, also when its row was made anew.
  function regain(held) {
    const known = held.isConnected ? held : kept.get(held.closest("li").id.slice(6)).element.querySelector(held.localName);
    if (known && known.isConnected) known.focus({ preventScroll: true });
  }

  live.showVerdict = function (verdict) {
    if (!verdict) return;
    const head = live.at("verdict");
    head.className = verdict.worst;
    head.dataset.sign = verdict.sign;
    if (head.textContent !== verdict.sentence) head.textContent = head.title = verdict.sentence;
    head.dataset.revision = verdict.revision;
    head.dataset.open = verdict.partial ? "partial" : verdict.first ? "first" : "no";
    // What changes several times a second is not read out each time.
    head.setAttribute("aria-live", verdict.partial ? "off" : "polite");
    live.moved = verdict.first ? new Set(verdict.moved) : live.lastMoved;
    live.at("counts").textContent = verdict.counts;
    const notices = live.at("notices"), many = verdict.notices.length, open = notices.querySelector("details[open]");
    notices.replaceChildren(many ? live.made("details", { class: "more", open: Boolean(open) },
      live.made("summary", {}, many + (many === 1 ? " notice" : " notices")),
      ...verdict.notices.map((line) => live.made("p", {}, live.made("strong", {}, "NOTICE "), line))) : "");
    const list = live.at("group-list"), held = list.contains(document.activeElement) ? document.activeElement : null;
    list.replaceChildren(...verdict.groups.map((group) => live.made("div", { class: "group", "data-title": group.title }, live.made("h3", {}),
      live.made("ol", { class: "checks" }, ...group.checks.map(rowOf)))));
    near = new Set(verdict.near);
    live.sift();
    if (held) regain(held);
    live.markPlaces();
  };

  // Which checks are shown: those at their limit, those that moved, all.
  live.sift = function () {
    const wanted = { near: (id) => near.has(id), new: (id) => live.moved.has(id), all: () => true };
    let shown = 0;
    kept.forEach(({ element }, id) => {
      const here = element.isConnected;
      element.hidden = !wanted[filter](id);
      element.classList.toggle("new", live.moved.has(id));
      shown += here && !element.hidden;
    });
    live.all("#group-list > .group").forEach((group) => {
      const many = group.querySelectorAll("li[id]:not([hidden])").length;
      group.hidden = !many;
      group.querySelector("h3").textContent = group.dataset.title + " (" + many + ")";
    });
    const all = live.all("#group-list > .group li[id]").length;
    const none = live.at("none-near");
    none.hidden = Boolean(shown || !all);
    none.textContent = filter === "near" ? "No figure fails or has less than a tenth of its limit to spare." : "No figure moved with the last change.";
    live.at("near-many").textContent = all ? near.size : "";
    live.at("new-many").textContent = all ? live.moved.size : "";
    live.at("all-many").textContent = all || "";
  };
  live.filter = function (name) {
    filter = name;
    live.all("[data-filter]").forEach((button) => button.setAttribute("aria-pressed", String(button.dataset.filter === name)));
    live.sift();
  };
  live.all("[data-filter]").forEach((button) => button.addEventListener("click", () => live.filter(button.dataset.filter)));

  // One check of them all, wherever it stands.
  live.toCheck = function (id) {
    const element = live.at("check-" + id);
    if (!element) return;
    if (element.hidden) live.filter("all");
    live.pane("checks");
    element.scrollIntoView({ block: "nearest" });
    const name = element.querySelector(".name");
    if (name.disabled) { name.disabled = false; name.focus(); name.disabled = true; } else name.focus();
    live.show(id);
  };

  live.checkLink = function (row) {
    const link = live.made("button", { type: "button", class: "name" }, row.what);
    link.addEventListener("click", () => live.toCheck(row.id));
    return link;
  };

  function balanced(row) {
    const m = live.made;
    const link = live.checkLink(row);
    return m("tr", {}, m("th", { scope: "row" }, link, row.where ? m("span", { class: "key" }, row.where) : ""),
      m("td", { class: "number", "data-name": "now" }, row.measured),
      m("td", { class: "number", "data-name": "moved by" }, row.moved),
      m("td", { "data-name": "limit" }, row.limit || "–"),
      m("td", { class: "number", "data-name": "margin" }, row.margin || "–"),
      m("td", { class: "tone " + row.kind }, m("span", { "aria-hidden": "true" }, row.sign), " " + row.word));
  }

  live.showBalance = function (balance) {
    live.at("balance").hidden = live.at("balance-tab").hidden = !balance;
    if (!balance) return;
    live.at("balance-rows").replaceChildren(...balance.rows.map(balanced));
    live.at("balance-loadings").hidden = !balance.envelope;
    // The drawing is the server's own, its names escaped there.
    const drawn = new DOMParser().parseFromString(balance.envelope, "text/html");
    live.at("envelope").replaceChildren(...drawn.body.children);
  };
})();
