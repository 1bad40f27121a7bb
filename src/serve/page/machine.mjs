// The machine round the parts: its picture from three sides, its points as measured, what stands
// there, and the clearances.
import { get, post, requests } from "./ask.mjs";
import { el, drawn, finding, loose, sayAt, state, count } from "./words.mjs";
import { form } from "./form.mjs";

const room = box => ({ w: Math.max(320, box.clientWidth - 16), h: Math.max(280, box.clientHeight - 16) });

export function machine(page, main) {
  const flat = el("div", { class: "flat" });
  const status = el("div", { role: "status" });
  const points = el("div", {}), there = el("div", {}), left = el("div", {});
  const general = el("div", {});
  // What the numbers in the picture are.
  const numbers = el("ol", { class: "numbers", "aria-label": "Bodies by their numbers" });
  main.replaceChildren(el("div", { class: "view machine" }, el("h2", { tabindex: -1 }, "Machine"),
    el("p", { class: "lead" }, "The measured points, and what is built between them. Lengths, copes and clearances follow from the points."),
    el("div", { class: "around" },
      el("div", { class: "shown" }, el("div", { class: "frame" }, el("div", { class: "paper whole" }, flat)), numbers),
      el("div", { class: "asked" }, status, general, el("h3", {}, "Points"), points, el("h3", {}, "Bodies"), there, el("h3", {}, "Clearances"), left))));
  const forms = new Map(), sections = new Map();
  const asks = requests();

  const edit = async (change, where = status) => {
    where.replaceChildren();
    try { await page.edit({ do: "machine", change }); await load(); return true; } catch (why) {
      if (why.outside) { page.tell(why.message); await load(); } else where.replaceChildren(el("p", { class: "finding stop" }, why.message));
      return false;
    }
  };
  // A box of fields: of the job, or of a point.
  function fields(key, of, findings) {
    if (!forms.has(key)) {
      const box = el("div", { class: "cells" });
      const made = form(page, box, {
        name: key,
        edit: (field, value) => ({ do: "machine", change: { set: { path: field.key, value, was: field.given ?? null } } }),
        tried: async tried => {
          const counts = asks.attempt();
          const now = await post("/try", { edit: tried, ...room(flat) });
          if (!counts() || !now) return null;
          picture(now);
          return { ...now, findings: now.findings.filter(one => !one.field || made.has(one.field)) };
        },
        took: load,
        finding,
      });
      forms.set(key, { box: el("form", { class: "boxed", autocomplete: "off", onsubmit: event => event.preventDefault() }, box), made });
    }
    const { box, made } = forms.get(key);
    made.show({ fields: of, findings: findings.filter(one => of.some(field => field.key === one.field)), editable: true });
    return box;
  }

  const word = (words, does, label) => el("button", { type: "button", class: "word", "aria-label": label, onclick: does }, words);
  function acts(of) {
    if (page.job.read_only) return [];
    const taped = new Set(of.fields.map(field => /[.]from[.](.+)$/.exec(field.key)?.[1]).filter(Boolean));
    const rest = of.others.filter(name => !taped.has(name));
    const more = el("select", { "aria-label": `${of.name}: add a distance` }, el("option", { value: "" }, "Add a distance from …"), ...rest.map(name => el("option", { value: name }, name)));
    more.onchange = () => edit({ tape: { name: of.name, from: more.value } });
    return [word("Rename", () => rename(of.name), `Rename point ${of.name}`), of.how === "coordinates" ? word("Locate by tape", () => edit({ "by-tapes": { name: of.name } }), `${of.name}: locate by tape`) : word("Give coordinates", () => edit({ "by-coordinates": { name: of.name } }), `${of.name}: give coordinates`),
      of.how === "tapes" && rest.length ? more : "",
      word("Remove", () => edit({ "take-out": { name: of.name } }), `Remove point ${of.name}`)];
  }
  function rename(name) {
    const { head } = sections.get(name), before = [...head.childNodes];
    const input = el("input", { type: "text", value: name, "aria-label": `New name of ${name}`, autocomplete: "off", spellcheck: "false" });
    const said = el("div", { role: "status" }), leave = () => head.replaceChildren(...before);
    const take = async () => {
      const to = input.value.trim();
      if (!to || to === name) { leave(); return; }
      if (await edit({ rename: { name, to } }, said)) page.tell(`${name} is now ${to}, wherever it is named.`);
    };
    input.onkeydown = event => { if (event.key === "Enter") { event.preventDefault(); take(); } else if (event.key === "Escape") leave(); };
    head.replaceChildren(input, word("Rename", take), word("Cancel", leave), said);
    input.focus();
    input.select();
  }
  // The sections stay, so that a field that is in hand stays in hand.
  function section(of, findings) {
    if (!sections.has(of.name)) sections.set(of.name, { head: el("div", { class: "pointhead" }), body: el("div", {}) });
    const { head, body } = sections.get(of.name);
    head.replaceChildren(el("h4", {}, el("b", {}, of.name), of.how === "coordinates" ? "" : of.at ? ` is at ${of.at}` : " cannot be placed yet"), ...acts(of));
    const box = fields(`point ${of.name} ${of.how}`, of.fields, findings);
    if (body.firstChild !== box) body.replaceChildren(box);
    sections.get(of.name).all ??= el("section", { class: "point", "aria-label": `Point ${of.name}` }, head, body);
    return sections.get(of.name).all;
  }
  function fresh() {
    const name = el("input", { type: "text", "aria-label": "Name of a new point", placeholder: "name, such as rail_a", autocomplete: "off", spellcheck: "false" });
    const add = async () => { if (name.value.trim()) { const own = name.value.trim(); if (await edit({ new: { name: own } }, said)) { name.value = ""; points.querySelector(`[data-key="points.${CSS.escape(own)}.0"]`)?.focus(); } } };
    const said = el("div", { role: "status" });
    name.onkeydown = event => { if (event.key === "Enter") { event.preventDefault(); add(); } };
    return el("div", {}, el("div", { class: "recording" }, name, word("New point", add)), said);
  }
  const newPoint = page.job.read_only ? "" : fresh();

  function picture(of) {
    flat.classList.toggle("old", !of.picture && Boolean(flat.querySelector("svg")));
    if (of.picture) flat.replaceChildren(drawn(of.picture));
    else if (!flat.querySelector("svg") || !of.points.length) flat.replaceChildren(el("p", { class: "note" }, of.points.length ? "It cannot be drawn yet: see the messages at the fields." : "No points yet. Measure a few points of the machine from one corner, x, y and z, and add them below: then links, tubes and parts can be placed between them."));
  }
  // A body whose number has no room in the picture says so here.
  const named = of => {
    const there = new Set([...flat.querySelectorAll("svg text")].map(text => text.textContent));
    numbers.replaceChildren(...(of.bodies || []).map((words, i) => el("li", {}, words.replace(/`/g, ""), there.has(String(i + 1)) ? "" : el("small", {}, ", no room for its number"))));
  };
  const states = row => row.state[0] || row.state[1] ? state(row.state, row.state[0] ? "contact" : "too close") : state([0, 0], "clear");
  function show(of) {
    picture(of);
    named(of);
    general.replaceChildren(...of.findings.filter(one => !one.field).map(one => loose(one, page.job.read_only ? null : page.put)));
    const all = [of.points.length ? fields("job", of.fields, of.findings) : "", ...of.points.map(point => section(point, of.findings)), newPoint].filter(Boolean);
    // What stands there already is not moved: a field in hand would lose it.
    if (all.length !== points.children.length || all.some((one, i) => points.children[i] !== one)) {
      const held = document.activeElement;
      points.replaceChildren(...all);
      if (held && points.contains(held)) held.focus({ preventScroll: true });
    }
    const add = kind => async ({ currentTarget: button }) => { try { page.go(`#/${(await page.edit({ do: "entry", kind, change: { new: {} } })).place}`); } catch (why) { sayAt(button, why.message); } };
    there.replaceChildren(
      of.entries.length ? el("ul", { class: "standing" }, ...of.entries.map(one => el("li", {}, el("a", { href: `#/${one.place}` }, `${one.kind} ${one.name || "unnamed"}`), ` ${one.words}`)))
        : el("p", { class: "note" }, "Nothing yet. A link or tube appears here once its “from point” and “to point” are chosen, a part once its points are chosen in its form; an obstacle is anything that parts must keep clear of."),
      page.job.read_only ? "" : el("div", { class: "acts" }, word("New obstacle", add("obstacle"))));
    const rows = of.clearances || [];
    left.replaceChildren(rows.length ? el("table", { class: "stock" }, el("thead", {}, el("tr", {}, ...["Between", "Clearance", "Required", ""].map(head => el("th", { scope: "col" }, head)))),
      el("tbody", {}, ...rows.map(row => el("tr", {}, el("td", {}, row.between.map(one => one.replace(/`/g, "")).join(" and ")), el("td", { "data-label": "clearance" }, row.clearance), el("td", { "data-label": "required" }, row.required), el("td", {}, states(row))))))
      : el("p", { class: "note" }, "No two bodies are close to each other."));
    left.setAttribute("aria-label", count(rows.length, "clearance"));
  }
  async function load() {
    const counts = asks.look();
    const of = await get("/machine", room(flat));
    if (counts()) show(of);
  }
  load();
  return { entry: "machine", changed: load };
}
