// Changes taken back and made again, in any number; states with a name to come back to.
"use strict";
(function () {
  const m = live.made, words = live.at("states-words");
  let asked = 0;

  async function walk(way) {
    const done = way === "undo" ? "taken back" : "made again";
    try {
      const { ok, told } = await live.post(way, {});
      if (!ok) { live.confirm(live.refusal(told) + "\nNothing was " + done + ".", true); return; }
      live.fieldForgets(told.key);
      const what = told.key ? told.key + " is " + told.written + (way === "undo" ? " again." : ", made again.")
        : way === "undo" ? "The file is as it was before." : "Back to the state " + told.written + ".";
      live.confirm(what + (told.elsewhere
        ? " The file was saved elsewhere since: only this value was put " + (way === "undo" ? "back" : "in") + ", the rest stays as saved there." : ""));
    } catch (error) {
      live.confirm(live.SILENT + ": whether it was " + done + " is seen in the file.", true);
    }
  }

  function ask(way) {
    live.leaveFields();
    live.ask(way + " " + (asked += 1), () => walk(way));
  }
  ["undo", "redo"].forEach((way) => live.at(way).addEventListener("click", () => ask(way)));
  document.addEventListener("keydown", (event) => {
    const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(event.target.tagName) && event.target.type !== "checkbox";
    if (typing || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    const way = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : "";
    if (!way) return;
    event.preventDefault();
    if (!live.at(way).disabled) ask(way);
  });

  live.showHistory = function (status) {
    ["undo", "redo"].forEach((way) => {
      const button = live.at(way), text = status[way], many = status[way + "_depth"];
      button.disabled = !text;
      button.title = text ? (way === "undo" ? "Take back " : "Make again ") + text : "";
      button.textContent = (way === "undo" ? "Undo" : "Redo") + (many ? " (" + many + ")" : "");
      live.at(way + "-words").textContent = text ? (way === "undo" ? "Last change made here: " : "Taken back last: ") + text : "";
    });
    const list = live.at("states-list");
    if (list.dataset.names === JSON.stringify(status.states)) return;
    list.dataset.names = JSON.stringify(status.states);
    list.replaceChildren(...status.states.map((name) => {
      const button = m("button", { type: "button" }, "Come back to ", m("b", {}, name));
      button.addEventListener("click", () => live.ask("come back", () => comeBack(name)));
      return m("li", {}, button);
    }).reverse());
    if (status.states.length && words.textContent.startsWith("No state")) words.textContent = "Files of their own beside the parameter file; coming back can be undone.";
  };

  async function comeBack(name) {
    live.leaveFields();
    try {
      const { ok, told } = await live.post("come-back", { name });
      words.textContent = !ok ? live.refusal(told) + "\nThe file stays as it is."
        : told.changed ? "The file is as in the state " + name + ". Undo takes that back." : "The file is as in the state " + name + " already.";
      words.className = ok ? "key" : "key refusal";
    } catch (error) {
      words.textContent = live.SILENT + ": whether it came back is seen in the file.";
    }
  }

  live.at("keep").addEventListener("submit", (event) => {
    event.preventDefault();
    const name = live.at("state-name").value.trim();
    live.leaveFields();
    live.ask("keep", async () => {
      try {
        const { ok, told } = await live.post("keep", { name });
        words.textContent = ok ? "Kept as " + name + "." : live.refusal(told) + "\nNot kept.";
        words.className = ok ? "key" : "key refusal";
        if (ok) live.at("state-name").value = "";
      } catch (error) {
        words.textContent = live.SILENT + ": nothing was kept.";
      }
    });
  });
})();
