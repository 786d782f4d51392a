// What each figure did: with the last change, and since the file was opened.
"use strict";
(function () {
  const m = live.made;

  // By how much a figure moved; where that is no number, what it was before.
  function step(change, name) {
    if (!change) return m("td", { class: "number none", "data-name": name }, "–");
    const told = change.moved && change.moved !== "–" ? change.moved : "was " + change.former;
    const turned = change.words.includes("→") ? m("span", { class: "turned " + change.mood }, change.words) : null;
    return m("td", { class: "number", "data-name": name, title: change.former + " → " + change.new }, told, turned);
  }

  function line(last, since) {
    const row = last || since;
    return m("tr", { class: row.mood, "data-id": row.id },
      m("th", { scope: "row" }, live.checkLink(row), " ", m("code", {}, row.id)),
      m("td", { class: "number now " + row.kind, "data-name": "now" }, m("span", { class: "sign", "aria-hidden": "true" }, row.sign), " " + row.new,
        row.margin ? m("span", { class: "spare" }, "margin " + row.margin) : null),
      step(last, "last change"), step(since, "since opened"));
  }

  live.showChanges = function (changes) {
    if (!changes) return;
    const seconds = changes.seconds.toFixed(1) + " s after the save";
    const parts = changes.made + " steps made, " + changes.kept + " taken from before";
    const many = changes.rows.length;
    live.at("changes-words").textContent = changes.first
      ? "Revision " + changes.revision + ", the first state seen: " + seconds.replace("the save", "the start") + " (" + parts + ")."
      : "Revision " + changes.revision + ", " + seconds + " (" + parts + "): " +
        (many ? many + (many === 1 ? " figure moved." : " figures moved.") : "no figure differs from the state before.");
    const since = new Map(changes.opened.map((row) => [row.id, row]));
    const rows = changes.rows.map((row) => line(row, since.get(row.id)));
    const last = new Set(changes.rows.map((row) => row.id));
    const rest = changes.opened.filter((row) => !last.has(row.id)).map((row) => line(null, row));
    live.at("changes-rows").replaceChildren(...rows, ...rest);
    live.at("changes-figures").hidden = !rows.length && !rest.length;
    live.moved = live.lastMoved = last;
    live.sift();
  };
})();
