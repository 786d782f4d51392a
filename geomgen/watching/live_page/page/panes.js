// Which sheet lies on the bench, and on a narrow screen which pane is seen.
"use strict";
(function () {
  const SHEETS = ["model", "lines", "drawings", "balance", "cautions"];
  const narrow = matchMedia("(max-width: 58rem)");
  const tabs = live.all("[data-tab]");

  function mark() {
    const { sheet, pane } = document.body.dataset;
    tabs.forEach((tab) => tab.setAttribute("aria-pressed", String(tab.dataset.tab === (narrow.matches ? pane : sheet))));
    live.all("[data-panel]").forEach((panel) => {
      const name = panel.dataset.panel;
      const seen = narrow.matches ? name === pane : !SHEETS.includes(name) || name === sheet;
      panel.classList.toggle("away", !seen);
      panel.inert = !seen;
    });
  }

  live.pane = function (name) {
    if (SHEETS.includes(name)) document.body.dataset.sheet = name;
    document.body.dataset.pane = name;
    mark();
    // On a narrow screen the row of tabs is longer than it is wide.
    if (narrow.matches) tabs.find((tab) => tab.dataset.tab === name).scrollIntoView({ block: "nearest", inline: "nearest" });
    document.body.dispatchEvent(new CustomEvent("sheet"));
  };
  live.sheetIs = (name) => document.body.dataset.sheet === name && (!narrow.matches || document.body.dataset.pane === name);
  tabs.forEach((tab) => tab.addEventListener("click", () => live.pane(tab.dataset.tab)));
  narrow.addEventListener("change", () => live.pane(document.body.dataset.sheet));
  // A list that was opened over the sheet goes away when something else is meant.
  document.addEventListener("pointerdown", (event) => {
    live.all("details:has(> .sheet-over)[open]").forEach((one) => { if (!one.contains(event.target)) one.open = false; });
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    live.all("details:has(> .sheet-over)[open]").forEach((one) => { one.open = false; one.querySelector("summary").focus(); });
  });
  mark();
})();
