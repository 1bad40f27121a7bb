// Links, tubes, loads, joints and tube ends: the list of them, and the one that is looked at.
import { get, post, requests } from "./ask.mjs";
import { el, drawn, stateOf, finding, inText, sayAt, worded, stale } from "./words.mjs";
import { form } from "./form.mjs";
import { turntable } from "./rotate.mjs";
import { isWaiting, proven, unproven } from "./offers.mjs";

const KINDS = [["link", "Links", "New link"], ["tube", "Tubes", "New tube"], ["load", "Loads", "New load"], ["joint", "Bolted joints", "New joint"], ["tube_end", "Tube ends", "New tube end"], ["obstacle", "Obstacles in the machine", "New obstacle"]];
const address = (kind, index) => `#/${kind}/${index}`;
const room = box => ({ w: Math.max(280, box.clientWidth - 16), h: Math.max(220, box.clientHeight - 16) });

function rows(all, current, add) {
  // What stands in a machine is of no use without one.
  const kinds = KINDS.filter(([kind]) => kind !== "obstacle" || all.obstacle.length || current?.startsWith("obstacle"));
  return kinds.flatMap(([kind, heading, fresh]) => [
    el("h3", {}, heading),
    ...all[kind].map((of, i) => el("a", { href: address(kind, i), class: "plain", "aria-current": `${kind}/${i}` === current ? "true" : null },
      el("span", {}, el("b", {}, of.name || "unnamed"), el("small", {}, of.words)), stateOf(of))),
    add ? el("button", { type: "button", class: "add", onclick: event => add(kind, event.currentTarget) }, fresh) : "",
    // A load along a link: of the one that is looked at, else of the first.
    add && kind === "load" && all.link.length ? el("button", { type: "button", class: "add", onclick: event => add(kind, event.currentTarget, { link: (all.link[current?.split("/")[0] === "link" ? current.split("/")[1] : 0] ?? all.link[0]).name }) }, "New load along a link") : "",
  ]);
}

// What came of a load: the sentence, all ways to fail by what they allow, and what was assumed.
function judged(of) {
  const { row, bars } = of;
  // As in the report: the bar is what the load takes, the line at its end what is allowed.
  const one = ({ what, allowed, share, governs }) => {
    const over = share > 1, fill = el("i");
    fill.style.width = `${100 * Math.min(1, share)}%`;
    return el("li", { class: over ? "beyond" : null }, el("span", {}, governs ? el("b", {}, what) : what, ` ${allowed} allowed`),
      el("div", { class: over ? "bar over" : governs ? "bar first" : "bar", "aria-hidden": "true" }, fill));
  };
  return [
    el("p", { class: "answer" }, ...worded(row.words)),
    ...bars.length ? [el("ul", { class: "limits" }, ...bars.map(one)), el("p", { class: "note" }, of.legend)] : [],
    ...of.remarks.map(words => el("p", { class: "note" }, ...worded(words))),
    el("p", { class: "note" }, of.caution),
  ];
}

function entry(page, place, kind, index) {
  const home = kind === "obstacle" ? "#/machine" : "#/links", whole = kind === "obstacle" ? "The machine" : "All links, loads and joints";
  const asks = requests();
  let now = null, fields = null, table = null, turned = "", gone = false;
  const head = el("div", { class: "phead" });
  const back = el("div", { class: "back" }, el("a", { href: home }, whole));
  const flat = el("div", { class: "flat" });
  const turn = el("div", { class: "turn" });
  const words = el("div", { class: "judged" });
  // Of a joint there is no picture: what follows from it stands there in words.
  const paper = el("div", { class: kind === "load" ? "paper" : kind === "obstacle" ? "paper whole tall" : "paper whole" }, kind === "load" ? [turn, words] : kind === "joint" ? words : flat);
  const cells = el("div", { class: "cells" });
  const facing = el("div", {});
  const side = el("div", { class: "side" }, el("h3", {}, { link: "This link", tube: "This tube", load: "This load", obstacle: "This obstacle", joint: "This joint", tube_end: "This end" }[kind]), facing);
  place.replaceChildren(back, head, el("div", { class: "frame" }, paper,
    el("form", { class: "block", autocomplete: "off", onsubmit: event => event.preventDefault() }, cells, side)));

  const change = what => ({ do: "entry", kind, index, name: now.name, change: what });
  async function act(what, button) {
    gone = "take-out" in what;
    try {
      const answered = await page.edit(change(what));
      page.go(what["take-out"] ? home : `#/${answered.place}`);
    } catch (why) { gone = false; if (why.outside) page.tell(why.message); else sayAt(button, why.message); }
  }
  const acts = () => page.job.read_only ? null : el("div", { class: "acts" },
    kind === "tube_end" ? "" : el("button", { type: "button", onclick: event => act({ copy: {} }, event.currentTarget) }, "Copy"),
    el("button", { type: "button", onclick: event => act({ "take-out": {} }, event.currentTarget) }, "Remove"));

  async function fold(load) {
    const key = `${page.job.version} ${load.part}`;
    const marks = { at: load.at, feet: load.feet, ways: load.ways, section: load.section, pushes: load.row.direction === "push", words: load.row.words };
    try {
      const patches = turned === key && table.patches ? table.patches : await get("/folded", { name: load.part, done: load.bends });
      turned = key;
      table.patches = patches;
      table.show(patches, load.bends, load.bends, marks);
    } catch (why) { words.append(el("p", { class: "note" }, why.message)); }
  }

  function picture(of) {
    head.replaceChildren(...[el("h2", { tabindex: -1 }, kind === "tube_end" ? `${of.name}: ${of.fields.find(field => field.key === "end")?.given ?? "end"}` : of.name || "unnamed"), stateOf(of), acts()].filter(Boolean));
    const facts = of.facts.flatMap(([key, value]) => [el("dt", {}, key), el("dd", {}, ...worded(value))]);
    const held = of.held_by.length ? [el("h3", {}, kind === "joint" || kind === "tube_end" ? "Parts" : "Held by"), el("ul", {}, ...of.held_by.map(name => el("li", {}, el("a", { href: `#/part/${encodeURIComponent(name)}` }, name))))] : [];
    const text = el("p", {}, inText(of.line));
    facing.replaceChildren(...kind === "joint" ? [] : [el("dl", { class: kind === "tube_end" ? "below" : null }, ...facts)], ...held, text);
    if (kind === "joint") words.replaceChildren(facts.length ? el("dl", { class: "rowed" }, ...facts) : el("p", { class: "answer" }, "Not worked out: see the messages at the fields."));
    if (kind === "load") {
      turn.classList.toggle("old", !of.load);
      paper.classList.toggle("alone", !of.load && !turn.firstChild);
      if (!of.load) {
        const part = of.fields.find(field => field.key === "part")?.given;
        if (of.checking) { words.replaceChildren(el("p", { class: "answer" }, "Strength being checked …")); return; }
        words.replaceChildren(el("p", { class: "answer" }, "Not judged: see the messages at the fields", ...part ? [", and at ", el("a", { href: `#/part/${encodeURIComponent(part)}` }, part)] : [], "."));
        return;
      }
      if (of.flat) {
        turn.replaceChildren(drawn(of.flat));
        words.replaceChildren(...judged(of.load));
        facing.append(el("p", {}, "Along ", el("a", { href: `#/link/${of.load.link}` }, of.load.row.link)));
        return;
      }
      table ??= turntable(turn, of.load.part, () => {});
      words.replaceChildren(...judged(of.load));
      facing.append(el("p", {}, "On ", el("a", { href: `#/part/${encodeURIComponent(of.load.part)}` }, of.load.part)));
      fold(of.load);
    } else if (of.flat) { flat.replaceChildren(drawn(of.flat)); flat.classList.remove("old"); }
    else if (flat.querySelector("svg")) stale(flat);
    else flat.replaceChildren(el("p", { class: "note" }, "It cannot be drawn: see the messages at the fields."));
  }
  // Layers of a joint and tabs of the end of a tube are added, removed and moved as other things are.
  const listed = async (what, button) => {
    try { await page.edit(change({ row: what })); await load(); } catch (why) { if (why.outside) { page.tell(why.message); load(); } else sayAt(button, why.message); }
  };
  function row(n, { rows }) {
    if (!rows || page.job.read_only) return [];
    const { word } = rows, was = rows.all[n] ?? null;
    const act = (name, what) => el("button", { type: "button", class: "word", "aria-label": `${word} ${n + 1}: ${name.toLowerCase()}`, onclick: event => listed(what, event.currentTarget.parentElement) }, name);
    return [rows.ordered && n ? act("Move up", { earlier: { row: n, was } }) : "", act("Remove", { take: { row: n, was } })];
  }
  // What is chosen stays so while the form is filled anew.
  let chosen = null;
  function more({ rows }) {
    if (!rows || page.job.read_only) return [];
    // What it is to be is asked first: the first of the list may be nothing of the kind.
    const id = `more-${kind}`, is = value => rows.more.some(([known]) => known === value);
    const button = el("button", { type: "button", class: "word", disabled: !is(chosen), onclick: event => listed({ add: { what: choose.value } }, event.currentTarget) }, `Add this ${rows.word}`);
    const choose = el("select", { id, class: "given", onchange: event => { chosen = event.currentTarget.value; button.disabled = !is(chosen); } },
      el("option", { value: "" }, "choose …"), ...rows.more.map(([value, label]) => el("option", { value }, label)));
    if (is(chosen)) choose.value = chosen;
    return rows.more.length ? [el("label", { for: id }, el("b", {}, `new ${rows.word}`)), choose, button] : [];
  }
  function show(of) {
    now = unproven(of);
    picture(of);
    fields.show({ ...of, editable: true });
    clearTimeout(late);
    if (isWaiting(of)) late = setTimeout(() => remedy(of), 60);
  }
  // What the findings offer is tried once they are shown.
  let late = 0;
  async function remedy(of) {
    let rows;
    try { rows = await get("/entry-remedies", { kind, index }); } catch { return; }
    if (of !== now || !cells.isConnected) return;
    proven(of, rows);
    fields.show({ ...of, editable: true });
  }
  async function load() {
    if (gone) return;
    const counts = asks.look();
    try {
      const of = await get("/entry", { kind, index, ...room(kind === "load" ? turn : flat) });
      if (counts()) show(of);
    } catch { place.replaceChildren(el("p", { class: "note" }, "This has been removed."), el("a", { href: home }, whole)); }
  }
  fields = form(page, cells, {
    name: `${kind}-${index}`,
    edit: (field, value) => change({ set: { key: field.key, value, was: field.given ?? null } }),
    tried: async (edit, quick) => {
      const counts = asks.attempt();
      const of = await post("/try", { edit, quick, ...room(kind === "load" ? turn : flat) });
      if (!counts() || !of) return null;
      picture(of);
      return { ...unproven(of), waits: isWaiting(of) };
    },
    took: of => { if (of) { asks.look(); show(of); } else load(); },
    finding,
    row,
    more,
  });
  load();
  return { changed: load, inked: () => table?.inked(), leave: () => { clearTimeout(late); table?.leave(); } };
}

export function links(page, main, at) {
  const wide = matchMedia("(min-width: 1200px)").matches;
  const list = el("nav", { class: "rows", "aria-label": "Links, tubes, loads and joints" });
  const place = el("article", { class: "part", "aria-label": "Selected entry" });
  main.replaceChildren(el("div", { class: at ? "two one" : "two" }, el("aside", { class: "list", "aria-label": "Links, tubes, loads and joints" }, list), place));
  let view = null;
  const add = async (kind, button, of = {}) => {
    try { page.go(`#/${(await page.edit({ do: "entry", kind, change: { new: of } })).place}`); } catch (why) { sayAt(button, why.message); }
  };
  async function fill() {
    const all = await get("/entries");
    const first = KINDS.map(([kind]) => kind).find(kind => all[kind].length);
    const current = at || (wide && first ? `${first}/0` : null);
    list.replaceChildren(...rows(all, current, page.job.read_only ? null : add));
    if (view) return;
    if (current) view = entry(page, place, current.split("/")[0], Number(current.split("/")[1]));
    else if (!first) place.replaceChildren(el("p", { class: "note" }, "The job has no link, tube, load or joint yet. A link is a tube between two rod ends; a tube is coped to other tubes of the frame; a load is what a part must carry; a joint is a set of holes that share a bolt."));
  }
  fill();
  return {
    entry: at,
    job: fill,
    changed: () => { fill(); view?.changed(); },
    inked: () => view?.inked(),
    leave: () => view?.leave(),
  };
}
