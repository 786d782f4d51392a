// The stream of states: what is new is shown as it comes; a lost connection is said.
"use strict";
(function () {
  const SILENT = 14000;
  const now = {};
  let source = null, lost = false, ended = false, heard = Date.now();

  function statusWords(status) {
    const shown = now.verdict ? now.verdict.revision : 0;
    const still = shown ? " Shown is revision " + shown + "." : "";
    const step = status.step ? ": " + status.step : "";
    const builder = status.builder ? " Note: " + status.builder + "." : "";
    if (status.phase === "starting") return "Starting" + step + ".";
    if (status.phase === "building") return "Revision " + status.revision + " is being built" + step + "." + (shown && shown !== status.revision ? still : "") + builder;
    if (status.phase === "finishing") return "Verdict of revision " + status.revision + " is here; being made" + step + "." + builder;
    if (status.phase === "unfinished") return "Revision " + status.revision + " is checked; its model or drawings could not be made." + builder;
    if (status.phase === "refused") return "Not built as saved." + (still || " Nothing to show yet.") + builder;
    return "Revision " + status.revision + (now.error ? "; the file as saved is refused." : ", up to date.") + builder;
  }

  function showStatus() {
    const status = now.status;
    if (!status) return;
    const state = lost ? "lost" : status.phase === "ready" && now.error ? "refused" : status.phase;
    live.at("status").dataset.state = state;
    document.body.dataset.phase = status.phase;
    const words = lost
      ? (ended ? "geomgen watch has ended: start it again and open the address that it prints."
        : "Connection lost: geomgen watch doesn't answer. What is shown may be old; trying again.")
      : statusWords(status);
    const line = live.at("status-words");
    if (line.textContent !== words) line.textContent = words;
    const title = status.title ? status.title + " (" + status.name + "), revision " + status.letter + " of the design · " + status.file : status.file;
    live.at("project").textContent = title;
    document.title = (now.verdict ? (age() ? "…" : now.verdict.sign) + " " : "") + (status.title || status.file) + ": watched";
    live.showHistory(status);
    showAges();
  }

  // Why the verdict shown is not that of the file as it stands; empty when it is.
  function age() {
    const status = now.status, verdict = now.verdict;
    if (!status || !verdict) return "";
    const shown = "this is the verdict of revision " + verdict.revision + ". ";
    if (lost) return "May be old: " + shown + "geomgen watch doesn't answer.";
    if (now.error && now.error.error === "parameter") return "Old: " + shown + "The file as saved since is refused.";
    if (now.error && !now.error.checked) return "Old: " + shown + "Revision " + status.revision + " could not be built.";
    if (status.revision !== verdict.revision) return "Old: " + shown + "Revision " + status.revision + " is being built.";
    return "";
  }

  function showAges() {
    const status = now.status, drawings = now.drawings;
    if (!status) return;
    const words = age();
    document.body.dataset.age = words ? "old" : "new";
    live.all("[data-age]:not(body)").forEach((line) => {
      line.hidden = !words;
      if (line.textContent !== words) line.textContent = words;
    });
    const newest = Math.max(now.verdict ? now.verdict.revision : 0, status.revision);
    const making = status.phase === "finishing" || status.phase === "building";
    const rest = "; that of revision " + newest + (making ? " is being made." : " could not be made.");
    const old = drawings && drawings.revision !== newest;
    live.at("sheets").classList.toggle("stale", Boolean(old));
    live.at("drawings-words").textContent = !drawings ? "They come last, when nothing newer waits."
      : "Drawings are of revision " + drawings.revision + (old ? rest.replace("that", "those").replace(" is ", " are ") : ".");
    const drawn = live.drawnRevision();
    if (!drawn) return;
    live.at("model-words").textContent = drawn === newest ? "Revision " + drawn + (!live.drawnFirst() ? "." : making ? ", first shape; the exact one is being made." : ", first shape; the exact one could not be made.") : "Old: the model is of revision " + drawn + rest;
    live.markTold(drawn !== newest || words ? drawn : 0);
  }
  live.showAges = showAges;

  // What is refused or can't be built is said where the hand was, too: at the value that the refusal
  // names, or at the one changed last, if that may be the cause.
  function blame(error) {
    const one = error && !error.checked ? error : null;
    if (one && one.error === "parameter") {
      const first = (one.errors || [one]).find((each) => live.fieldOf(each.key));
      live.blame(first ? first.key : "", first ? "In the file: " + first.problem + (first.written ? " (" + first.written + ")" : "") : "");
      return;
    }
    if (!one || one.error !== "geometry") { live.blame("", ""); return; }
    const last = now.status && now.status.undo ? now.status.undo.split(": ")[0] : "";
    const named = one.look_at || [];
    const own = last && (!named.length || named.some((key) => live.within(last, key)));
    live.blame(own ? last : named.find((key) => live.fieldOf(key)) || last, "Can't be built: " + one.problem + ". The last good state stands.");
  }

  function showError(error) {
    const box = live.at("error");
    box.hidden = !error;
    blame(error);
    if (!error) { live.at("error-rows").replaceChildren(); return; }
    const m = live.made;
    const heads = { parameter: "The file is refused", geometry: "A part can't be built", fault: "A fault of geomgen" };
    live.at("error-head").textContent = error.checked ? "Checked, but not drawn to the end" : heads[error.error] || "Something went wrong";
    live.at("error-keeps").textContent = error.checked
      ? "The checks are those of the file as saved; its model or drawings are missing."
      : now.verdict ? "Shown stays the last good state, revision " + now.verdict.revision + "." : "There is no good state yet.";
    const rows = (error.errors || [error]).slice(0, 25).map((one) => {
      const place = [one.file, one.line ? "line " + one.line : "", one.part || ""].filter(Boolean).join(", ");
      const facts = [["written", one.written], ["allowed", one.allowed], ["step", one.step],
        ["look at", (one.look_at || []).join(", ")], ["do", one.advice]].filter(([, text]) => text);
      return m("li", {}, m("strong", {}, [place, one.key, one.problem].filter(Boolean).join(": ")),
        facts.length ? m("dl", {}, ...facts.flatMap(([name, text]) => [m("dt", {}, name), m("dd", {}, text)])) : null);
    });
    live.at("error-rows").replaceChildren(...rows);
  }

  const SHOW = {
    status: showStatus,
    verdict: (value) => { live.showVerdict(value); showError(now.error); },
    changes: (value) => live.showChanges(value),
    balance: (value) => live.showBalance(value),
    error: showError,
    model: (value) => { live.showModel(value); },
    drawings: (value) => live.showDrawings(value),
    fields: (value) => { Promise.resolve(live.showFields(value)).then(() => blame(now.error)); },
  };

  function take(name, text) {
    heard = Date.now();
    lost = false;
    const before = JSON.stringify(now[name]);
    if (before === text) { showStatus(); return; }
    now[name] = JSON.parse(text);
    SHOW[name](now[name]);
    showStatus();
  }

  function listen() {
    if (source) source.close();
    heard = Date.now();
    source = new EventSource("events");
    Object.keys(SHOW).forEach((name) => source.addEventListener(name, (event) => take(name, event.data)));
    source.addEventListener("beat", () => { heard = Date.now(); if (lost) { lost = false; showStatus(); } });
    source.addEventListener("ended", () => { ended = lost = true; showStatus(); });
    source.addEventListener("error", () => { lost = true; showStatus(); });
    source.addEventListener("open", () => { ended = false; heard = Date.now(); });
  }

  // A browser holds few connections to one server: a page that nobody sees gives its own back.
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) { if (source) source.close(); source = null; } else listen();
  });
  setInterval(() => {
    if (!source) return;
    if (Date.now() - heard > SILENT || source.readyState === EventSource.CLOSED) {
      lost = true;
      showStatus();
      listen();
    }
  }, 2000);
  listen();
})();
