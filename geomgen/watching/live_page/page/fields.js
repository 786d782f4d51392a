// All values of the file: shown by table, found by words; the last change taken back.
"use strict";
(function () {
  const holder = live.at("fields"), find = live.at("find"), found = live.at("found-words");
  const known = new Map(), groups = new Map();
  const m = live.made;
  let undone = 0, fetched = 0;

  // Same table, same order: the elements stay, so that focus and what is open stay too.
  live.showFields = async function (section) {
    if (!section) return;
    const mine = fetched += 1;
    const answer = await fetch("body/fields");
    if (!answer.ok) return;
    const rows = await answer.json(), seen = new Set(), order = new Map();
    if (mine !== fetched) return;
    rows.forEach((field) => {
      seen.add(field.key);
      let one = known.get(field.key);
      if (!one || live.field.form(one.field) !== live.field.form(field)) {
        one = live.field.made(field);
        known.set(field.key, one);
      }
      one.field = field;
      if (!order.has(field.table)) order.set(field.table, { title: field.title, some: [] });
      order.get(field.table).some.push(one);
    });
    Array.from(known.keys()).filter((key) => !seen.has(key)).forEach((key) => known.delete(key));
    Array.from(groups.keys()).filter((table) => !order.has(table)).forEach((table) => { groups.get(table).element.remove(); groups.delete(table); });
    order.forEach(({ title, some }, table) => place(table, title, some));
    sift();
    holder.dataset.stamp = section.stamp;
  };

  function place(table, title, some) {
    let group = groups.get(table);
    if (!group) {
      const name = m("span", {}), many = m("span", { class: "many" });
      group = { name, many, inside: m("div", {}), element: null, some };
      group.element = m("details", { "data-table": table }, m("summary", {}, name, " ", many), group.inside);
      const mine = group;
      group.element.addEventListener("toggle", () => render(mine));
      groups.set(table, group);
    }
    group.some = some;
    group.name.textContent = title;
    if (group.element.parentNode !== holder) holder.append(group.element);
  }

  function render(group) {
    if (!group.element.open) return;
    group.some.forEach((one) => { live.field.fill(one); one.element.hidden = one.missed; });
    const now = Array.from(group.inside.children), wanted = group.some.map((one) => one.element);
    if (now.length !== wanted.length || wanted.some((element, i) => element !== now[i])) group.inside.replaceChildren(...wanted);
  }

  // All words have to be somewhere in key, title or description.
  function sift() {
    const asked = find.value.toLowerCase().split(/[\s.]+/).filter(Boolean);
    let shown = 0;
    groups.forEach((group) => {
      let here = 0;
      group.some.forEach((one) => {
        const field = one.field;
        const text = (field.key + " " + field.name.replaceAll("_", " ") + " " + field.title + " " + field.description).toLowerCase();
        const hit = asked.every((word) => text.includes(word));
        one.missed = !hit;
        here += hit;
      });
      group.element.hidden = !here;
      group.many.textContent = "(" + here + ")";
      if (asked.length && here) group.element.open = true;
      render(group);
      shown += here;
    });
    found.textContent = asked.length ? shown + (shown === 1 ? " value" : " values") + " found." : "";
  }
  find.addEventListener("input", () => {
    if (!find.value) groups.forEach((group) => { group.element.open = false; });
    sift();
  });
  document.addEventListener("visibilitychange", () => { if (document.hidden) known.forEach(live.field.flush); });

  live.at("undo").addEventListener("click", () => {
    known.forEach(live.field.leave);
    live.ask("undo " + (undone += 1), takeBack);
  });
  async function takeBack() {
    try {
      const { ok, told } = await live.post("undo", {});
      if (!ok) { live.confirm(live.refusal(told) + "\nNothing was taken back.", true); return; }
      const one = known.get(told.key);
      if (one) live.field.forget(one);
      live.confirm(told.key + " is " + told.written + " again." + (told.elsewhere
        ? " The file was saved elsewhere since: only this value was put back, the rest stays as saved there." : ""));
    } catch (error) {
      live.confirm(live.SILENT + ": whether it was taken back is seen in the file.", true);
    }
  }
  live.showUndo = function (text) {
    live.at("undo").disabled = !text;
    live.at("undo-words").textContent = text ? "Last change made here: " + text : "";
  };
})();
