// The values of the file: those of a part as a table of offsets, or found by words.
"use strict";
(function () {
  const holder = live.at("fields"), find = live.at("find"), found = live.at("found-words"), of = live.at("of");
  const known = new Map(), drawn = new Map();
  const m = live.made;
  let fetched = 0, wanted = null, order = [];

  // Same values, same places: the elements stay, so that focus and what was typed stay too.
  live.showFields = async function (section) {
    if (!section) return;
    const mine = fetched += 1;
    const [answer, rules] = await Promise.all([fetch("body/fields"), fetch("body/parts")]);
    if (!answer.ok || !rules.ok) return;
    const rows = await answer.json(), parts = await rules.json(), seen = new Set();
    if (mine !== fetched) return;
    live.learnParts(parts);
    order = rows.map((field) => {
      seen.add(field.key);
      let one = known.get(field.key);
      if (!one || live.field.form(one.field) !== live.field.form(field)) {
        one = live.field.made(field);
        known.set(field.key, one);
      }
      one.field = field;
      if (one.opened === undefined) one.opened = field.written;
      return one;
    });
    Array.from(known.keys()).filter((key) => !seen.has(key)).forEach((key) => known.delete(key));
    choices();
    if (!wanted) wanted = { tables: [order.some((one) => one.field.table === "pod") ? "pod" : order[0].field.table] };
    show();
    holder.dataset.stamp = section.stamp;
    document.body.dispatchEvent(new CustomEvent("fields"));
  };
  live.fieldOf = (key) => (known.get(key) || {}).field;
  live.fieldItself = (key) => known.get(key);
  live.valueBeside = function (field, name) {
    const beside = known.get(field.table + "." + name);
    return beside ? beside.field.mm : null;
  };

  const top = (table) => table.split(".")[0];
  function choices() {
    const titles = new Map();
    order.forEach((one) => { if (!titles.has(top(one.field.table))) titles.set(top(one.field.table), title(one.field, 0)); });
    const text = JSON.stringify(Array.from(titles));
    if (of.dataset.made === text) return;
    of.dataset.made = text;
    of.replaceChildren(...Array.from(titles, ([table, name]) => m("option", { value: table }, name)));
  }

  // "pod, stations 4 (station 600 mm)" is called "pod" by its first table, "pod, stations" as a list.
  function title(field, depth) {
    const parts = field.title.split(", ").slice(0, depth + 1);
    return parts.map((part, i) => i === parts.length - 1 ? part.replace(/ \d+( \(.*\))?$/, "") : part).join(", ");
  }

  live.showTables = function (tables, name) {
    wanted = { tables, name };
    find.value = "";
    show();
    holder.scrollTop = 0;
  };
  live.openKey = function (key) {
    const one = known.get(key);
    if (!one) return;
    if (!chosen(one)) live.showTables([top(one.field.table)]);
    live.pane("numbers");
  };
  of.addEventListener("change", () => { live.showTables([of.value]); live.pickTables([of.value]); });
  find.addEventListener("input", show);

  // All words have to be somewhere in key, title or description.
  function asked() {
    return find.value.toLowerCase().split(/[\s.]+/).filter(Boolean);
  }
  function chosen(one) {
    const words = asked();
    if (!words.length) return wanted.tables.some((table) => live.within(one.field.table, table));
    const field = one.field;
    const text = (field.key + " " + field.name.replaceAll("_", " ") + " " + field.title + " " + field.description).toLowerCase();
    return words.every((word) => text.includes(word));
  }

  function show() {
    const groups = new Map(), words = asked();
    const some = order.filter(chosen);
    some.forEach((one) => {
      const table = one.field.table, list = /^(.*)\.\d+$/.exec(table);
      const name = list && !words.length ? list[1] : table;
      if (!groups.has(name)) groups.set(name, []);
      groups.get(name).push(one);
    });
    const sections = Array.from(groups, ([name, own]) => group(name, own));
    const now = Array.from(holder.children);
    if (now.length !== sections.length || sections.some((one, i) => one !== now[i])) holder.replaceChildren(...sections);
    some.forEach((one) => live.field.fill(one));
    found.textContent = words.length ? some.length + (some.length === 1 ? " value" : " values") + " found." : "";
    name();
    live.relight();
  }

  function name() {
    const extra = of.querySelector("option[data-part]");
    if (extra) extra.remove();
    const plain = wanted.tables.length && Array.from(of.options).some((option) => option.value === wanted.tables[0]);
    if (wanted.name || !plain) of.append(m("option", { value: wanted.tables[0], "data-part": true }, wanted.name || wanted.tables[0]));
    of.value = wanted.tables[0];
    if (wanted.name || !plain) of.selectedIndex = of.options.length - 1;
  }

  // A section of values; a list of like items stands as a table, an item a column.
  function group(name, own) {
    const items = new Set(own.map((one) => one.field.table));
    const signature = JSON.stringify(own.map((one) => [one.field.key, one.field.title]));
    const before = drawn.get(name);
    if (before && before.signature === signature && before.own.every((one, i) => one === own[i])) return before.element;
    own.forEach((one) => live.field.fill(one));
    const depth = own[0].field.title.split(", ").length;
    const called = items.size > 1 ? title(own[0].field, depth) : own[0].field.title;
    const head = m("h3", {}, called, called === name || !name ? "" : " ", called === name || !name ? "" : m("code", {}, name));
    const body = items.size > 1 ? offsets(own, items) : m("div", { class: "plain" }, ...own.map((one) => one.element));
    const element = m("section", { class: items.size > 1 ? "group list" : "group", "data-table": name }, head, body);
    drawn.set(name, { signature, own, element });
    return element;
  }

  function offsets(own, items) {
    const names = Array.from(new Set(own.map((one) => one.field.name)));
    const tables = Array.from(items);
    const head = m("tr", {}, m("td", {}), ...tables.map((table) => m("th", { scope: "col" }, String(Number(table.split(".").pop()) + 1))));
    const rows = names.map((name) => m("tr", {}, m("th", { scope: "row" }, name.replaceAll("_", " ")), ...tables.map((table) => {
      const one = own.find((some) => some.field.table === table && some.field.name === name);
      return one ? m("td", {}, one.element) : m("td", {});
    })));
    return m("table", { class: "offsets" }, m("thead", {}, head), m("tbody", {}, ...rows));
  }

  // What a value did that could not be built stands at it, until it is built or another is to blame.
  let blamed = "";
  live.blame = function (key, words) {
    if (blamed !== key && known.has(blamed)) live.field.blame(known.get(blamed), "");
    blamed = key;
    if (known.has(key)) live.field.blame(known.get(key), words);
    live.handles.blame(key, words);
  };

  document.addEventListener("visibilitychange", () => { if (document.hidden) known.forEach(live.field.flush); });
  live.leaveFields = () => known.forEach(live.field.leave);
  live.fieldForgets = (key) => { if (known.has(key)) live.field.forget(known.get(key)); };
})();
