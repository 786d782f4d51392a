// What is asked of geomgen watch: one request at a time, of each thing the newest only; and what came of it.
"use strict";
(function () {
  const token = document.querySelector("meta[name='geomgen-token']").content;
  const words = live.at("done-words"), read = live.at("done-read");
  const PATIENCE = 30000;
  const waiting = new Map();
  let busy = false;

  live.SILENT = "geomgen watch doesn't answer";

  live.post = async function (what, body) {
    const answer = await fetch(what, { method: "POST", body: JSON.stringify(body), signal: AbortSignal.timeout(PATIENCE),
      headers: { "Content-Type": "application/json", "X-Geomgen-Token": token } });
    return { ok: answer.ok, told: await answer.json() };
  };

  // Work looks at what is wanted when its turn comes, so the last value wins; it must not throw.
  live.ask = function (name, work) {
    waiting.delete(name);
    waiting.set(name, work);
    pump();
  };
  live.waits = (name) => waiting.has(name);
  live.forget = (name) => waiting.delete(name);

  async function pump() {
    if (busy) return;
    busy = true;
    try {
      while (waiting.size) {
        const [name, work] = waiting.entries().next().value;
        waiting.delete(name);
        await work();
      }
    } finally {
      busy = false;
    }
  }

  live.refusal = function (told) {
    const rows = told.errors || [told];
    return rows.map((one) => [(one.key ? one.key + ": " : "") + one.problem,
      one.allowed ? "allowed: " + one.allowed : "", one.advice ? "do: " + one.advice : ""]
      .filter(Boolean).join("\n")).join("\n");
  };

  // Stays until it is put away or the next one comes.
  live.confirm = function (text, refused) {
    words.textContent = text;
    words.className = refused ? "refusal" : "";
    read.hidden = false;
  };
  read.addEventListener("click", () => {
    words.textContent = "";
    read.hidden = true;
    live.at("find").focus();
  });
})();
