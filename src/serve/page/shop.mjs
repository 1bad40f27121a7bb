// The shop and its stock: what the job says of sheets, what the shop's file holds, what its book has.
import { get, post } from "./ask.mjs";
import { el, worded, count, finding } from "./words.mjs";
import { form } from "./form.mjs";

export function shop(page, main) {
  const view = el("div", { class: "view shop" });
  main.replaceChildren(view);
  const forms = new Map();
  let asked = 0, now = null;

  // A box of fields that belong together: each is changed by its path.
  function fields(key, of, inShop) {
    if (!forms.has(key)) {
      const box = el("div", { class: "cells" });
      const made = form(page, box, {
        name: key,
        edit: (field, value) => ({ do: "shop", shop: inShop, change: { set: { path: field.key, value, was: field.given ?? null } } }),
        tried: edit => post("/try", { edit, quick: true }),
        took: load,
        finding,
      });
      forms.set(key, { box: el("form", { class: "boxed", autocomplete: "off", onsubmit: event => event.preventDefault() }, box), made });
    }
    const { box, made } = forms.get(key);
    made.show({ fields: of, findings: [], editable: true });
    return box;
  }

  const edit = async (change, where) => {
    try { await page.edit({ do: "shop", change }); await load(); } catch (why) {
      if (why.outside) { page.tell(why.message); await load(); } else where.replaceChildren(el("p", { class: "finding stop" }, why.message));
    }
  };

  // The sizes of a sheet: one line each, with its count and price.
  function stock(sheet) {
    const told = el("div", { role: "status" });
    const put = (path, was, words, kind = "text", empty = null) => {
      const input = el("input", { type: "text", class: path.endsWith("name") ? "long" : null, inputmode: kind, "aria-label": words, value: was ?? "", placeholder: empty, autocomplete: "off", spellcheck: "false", disabled: page.job.read_only || !sheet.here });
      input.onkeydown = event => { if (event.key === "Enter") input.blur(); else if (event.key === "Escape") { input.value = was ?? ""; input.blur(); } };
      input.onchange = () => {
        const value = input.value.trim();
        if (value !== (was ?? "")) edit({ set: { path: `sheet.${sheet.index}.stock.${path}`, value: value || null, was: was ?? null } }, told);
      };
      return input;
    };
    const row = (of, i) => el("tr", {},
      el("td", { "data-label": "name" }, put(`${i}.name`, of.name, `${sheet.name}, size ${i + 1}: the shop's own name for it`, "text", of.remnant ? "remnant" : "no name")),
      el("td", {}, of.remnant ? el("span", {}, "remnant", of.bounds ? ` within ${of.bounds}` : "") : [put(`${i}.size.0`, of.size[0], `${sheet.name}, size ${i + 1}: along the grain`), " × ", put(`${i}.size.1`, of.size[1], `${sheet.name}, size ${i + 1}: across it`)]),
      el("td", { "data-label": "how many" }, put(`${i}.count`, of.count, `${sheet.name}, size ${i + 1}: how many`, "numeric", of.remnant ? "1" : "as needed")),
      el("td", { "data-label": "price each" }, put(`${i}.price`, of.price, `${sheet.name}, size ${i + 1}: price each`, "decimal", "no price")),
      el("td", {}, page.job.read_only || !sheet.here ? "" : el("button", { type: "button", class: "word", "aria-label": `${sheet.name}: remove size ${i + 1}`, onclick: () => edit({ "take-size": { sheet: sheet.index, name: sheet.name, row: i, was: of.size[0] } }, told) }, "Remove")));
    const table = sheet.stock.length ? el("table", { class: "stock" }, el("thead", {}, el("tr", {}, ...["Name", "Size, along × across the grain", "How many", `Price each${now.currency ? `, ${now.currency}` : ""}`, ""].map(word => el("th", { scope: "col" }, word)))), el("tbody", {}, ...sheet.stock.map(row)))
      : el("p", { class: "note" }, sheet.from_book ? "Its sizes are those of the stock book, below." : "No size yet: nothing can be nested on it.");
    const more = page.job.read_only || !sheet.here ? "" : el("div", { class: "acts" },
      el("button", { type: "button", class: "word", onclick: () => edit({ "add-size": { sheet: sheet.index, name: sheet.name } }, told) }, "Add a size"),
      sheet.used_by.length ? "" : el("button", { type: "button", class: "word", onclick: () => edit({ "take-sheet": { sheet: sheet.index, name: sheet.name } }, told) }, "Remove this sheet"));
    return el("section", { class: "sheetbox" }, el("h3", {}, sheet.name, el("span", {}, ` ${count(sheet.parts, "part")}${!sheet.parts && sheet.used_by.length ? `; a choice of ${sheet.used_by.join(", ")}` : ""}`)), fields(`sheet ${sheet.name}`, sheet.fields, false), table, told, more);
  }

  function book(of) {
    if (!of) return [el("p", { class: "note" }, "The shop has no book yet. ", ...worded("`platewright stock add` starts one: sheets, remnants, what was cut and sent."))];
    if (of.why) return [el("p", { class: "finding stop" }, of.why)];
    const line = entry => el("tr", {},
      el("td", {}, el("b", {}, entry.name), entry.remnant ? el("small", {}, ` remnant${entry.from ? ` of ${entry.from}` : ""}`) : ""),
      el("td", {}, `${entry.material}, ${entry.thickness}`), el("td", {}, `${entry.size}${entry.rectangle ? "" : ", not a rectangle"}`), el("td", {}, String(entry.quantity)),
      el("td", {}, entry.price === null ? "no price" : `${entry.price} ${entry.currency}`));
    return [el("p", { class: "note" }, `${of.shown}: change it with `, el("code", {}, "platewright stock"), "."),
      el("table", { class: "stock" }, el("thead", {}, el("tr", {}, ...["Sheet", "Material", "Size", "How many", "Price each"].map(word => el("th", { scope: "col" }, word)))), el("tbody", {}, ...of.entries.map(line)))];
  }

  function show(of) {
    now = of;
    const told = el("div", { role: "status" });
    const fresh = page.job.read_only ? "" : el("div", { class: "acts" }, el("button", { type: "button", class: "word", onclick: () => edit({ "add-sheet": {} }, told) }, "New sheet"));
    const held = document.activeElement?.dataset?.key;
    view.replaceChildren(el("h2", { tabindex: -1 }, "Shop and stock"),
      el("p", { class: "lead" }, "What the job is cut from, and with which tools. Counts, prices and sizes are in the job file; tools and kerf in the shop file."),
      el("h3", {}, "This job"), fields("job", of.job, false),
      el("h3", {}, "Sheets"), told, ...of.sheets.map(stock), fresh,
      el("h3", {}, of.shop ? `The shop, ${of.shop.name}` : "The shop"),
      ...of.shop ? [of.shop.about ? el("p", {}, of.shop.about) : "",
        ...of.shop.groups.flatMap(group => [el("h4", {}, group.heading), fields(`shop ${group.heading}`, group.fields, true)]),
        of.shop.tools ? el("dl", { class: "tools" }, ...of.shop.tools.flatMap(([name, words]) => [el("dt", {}, name), el("dd", {}, words)])) : ""]
        : [el("p", { class: "note" }, "The job names no shop file, so there is no bend sequence and no tools are known. ", ...worded("`platewright new shop > shop.toml` starts one."))],
      el("h3", {}, "The stock book"), ...book(of.book));
    if (held) view.querySelector(`[data-key="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
  }

  async function load() {
    const mine = ++asked;
    try { const of = await get("/shop"); if (mine === asked) show(of); } catch (why) { view.replaceChildren(el("p", { class: "note" }, why.message)); }
  }
  load();
  return { entry: "shop", changed: load };
}
