// A part: its flat with dimensions, the formed part beside it, and the form as their title block.
import { get, post, requests } from "./ask.mjs";
import { el, drawn, stateOn, count, finding, worded, inText, sayAt, sinceOf, NOT_MADE, stale } from "./words.mjs";
import { form } from "./form.mjs";
import { folded } from "./folded.mjs";
import { isWaiting, proven, unproven } from "./offers.mjs";

// Room for the flat, px.
const room = box => ({ w: Math.max(280, box.clientWidth - 16), h: Math.max(240, box.clientHeight - 16) });

// The number of the bend that a word of the flat is; nothing of any other word.
const bendOf = text => text.matches(".heavy.ink-accent") && /^\d+$/.test(text.textContent) ? Number(text.textContent) : null;

function facts(of) {
  const lines = (of.facts || []).map(([key, value]) => [el("dt", {}, key), el("dd", {}, value)]);
  return el("dl", {}, ...lines.flat());
}

function load(of) {
  const applied = of.applied?.kn ?? of.force?.kn, allowed = of.allowable?.kn;
  const judged = applied !== undefined && allowed !== undefined && allowed !== null;
  const bar = judged ? el("div", { class: applied > allowed ? "bar over" : "bar", "aria-hidden": "true" }, el("i", { "data-share": Math.min(1, applied / allowed) })) : null;
  for (const fill of bar?.querySelectorAll("i") || []) fill.style.width = `${100 * fill.dataset.share}%`;
  return el("li", {}, el("span", {}, ...worded(of.words)), bar);
}

// What differs from the last output, or the file as opened: of this part, of others, of the job.
function changes(page, name) {
  const all = page.sheets?.changes;
  if (!page.sheets || page.sheets.version !== page.job.version) return [el("p", { class: "note" }, "Working …")];
  if (page.sheets.how === "none") return [el("p", { class: "note" }, page.sheets.why || "No layout is possible.")];
  const first = page.job.made ? [] : [el("p", { class: "note" }, NOT_MADE)];
  if (!all) return first;
  const own = all.parts.filter(part => part.part === name);
  const others = all.parts.filter(part => part.part !== name);
  const lines = own.flatMap(part => [el("li", {}, el("b", {}, part.words)), ...part.differences.map(words => el("li", {}, ...worded(words)))]);
  for (const part of others) lines.push(el("li", {}, "also ", el("a", { href: `#/part/${encodeURIComponent(part.part)}` }, part.part), `: ${part.words}`));
  for (const change of all.job) lines.push(el("li", {}, `${change.kind}: `, ...worded(change.words)));
  return lines.length ? [...first, el("ul", {}, ...lines)] : [...first, el("p", { class: "note" }, "None. Change a field, and what it affects is listed here.")];
}

// Where to go on from a part that is clear: to one that is not, else to the sheets.
function next(page, of) {
  if (of.checking || page.job.checking || of.state[0] || of.state[1] || of.notes || page.left(of.name) !== 0) return null;
  const open = page.job.parts.find(other => other.name !== of.name && (other.state[0] || page.left(other.name))) ?? page.job.parts.find(other => other.name !== of.name && (other.state[1] || other.notes));
  const said = open && (page.left(open.name) ? `${page.left(open.name)} without a place` : open.said);
  // What is wrong elsewhere, with a link or the job, is at the head of the list.
  if (!open && (page.job.state[0] || page.job.state[1] || page.job.notes)) return null;
  return open ? el("a", { class: "next", href: `#/part/${encodeURIComponent(open.name)}` }, `Next: ${open.name}, ${said}`) : el("a", { class: "next", href: "#/sheets" }, "All parts are clear. Next: sheets");
}

export function part(page, place, name) {
  const asks = requests();
  let now = null, view = null, fields = null;
  const flat = el("div", { class: "flat" });
  const fold = el("div", { class: "fold" });
  const paper = el("div", { class: "paper" }, flat, fold);
  const cells = el("div", { class: "cells" });
  const facing = el("div", { class: "facts" });
  const changing = el("div", { class: "changing" });
  const loads = el("div", { class: "loads" });
  const head = el("div", { class: "phead" });
  const back = el("div", { class: "back" });
  const since = el("span", {});
  const note = el("p", { class: "note left" });
  const dockWords = el("div", { class: "changing" });
  const dockHead = el("summary", {}, "Changes");
  const dock = el("div", { class: "dock" }, el("details", {}, dockHead, dockWords), el("button", { type: "button", onclick: page.undo }, "Undo"));
  place.replaceChildren(back, head, el("div", { class: "frame" },
    paper,
    el("form", { class: "block", autocomplete: "off", onsubmit: event => event.preventDefault() }, cells,
      el("div", { class: "side" }, el("h3", {}, "This part"), facing, el("h3", {}, "Changes", since), changing))),
  note, loads, dock);

  const others = () => {
    const all = page.job.parts.map(of => of.name), i = all.indexOf(name);
    const link = (words, to) => to === undefined ? null : el("a", { href: `#/part/${encodeURIComponent(to)}` }, words);
    back.replaceChildren(...[el("a", { href: "#/parts" }, "All parts"), link("Previous", all[i - 1]), link("Next", all[i + 1]), el("span", {}, `${i + 1} of ${all.length}`)].filter(Boolean));
  };

  async function act(edit, after, button) {
    try {
      const answered = await page.edit(edit);
      page.go(after(answered));
    } catch (why) { if (why.outside) page.tell(why.message); else sayAt(button, why.message); }
  }
  const acts = of => page.job.read_only || !of.editable ? null : el("div", { class: "acts" },
    el("button", { type: "button", onclick: event => act({ do: "copy", part: name }, a => a.part ? `#/part/${encodeURIComponent(a.part.name)}` : "#/parts", event.currentTarget) }, "Copy"),
    el("button", { type: "button", onclick: rename }, "Rename"),
    el("button", { type: "button", onclick: event => act({ do: "take-out", part: name }, () => "#/parts", event.currentTarget) }, "Remove"));
  function rename() {
    const field = el("input", { type: "text", value: now.called ?? now.line, "aria-label": "New name", spellcheck: "false" });
    const said = el("button", { type: "button", onclick: () => take() }, "Rename");
    const take = () => { if (field.value.trim() && field.value.trim() !== (now.called ?? now.line)) act({ do: "rename", part: name, name: field.value.trim() }, a => `#/part/${encodeURIComponent(a.part?.name || field.value.trim())}`, said); else show(now); };
    field.onkeydown = event => { if (event.key === "Enter") { event.preventDefault(); take(); } else if (event.key === "Escape") show(now); };
    head.replaceChildren(field, said, el("button", { type: "button", onclick: () => show(now) }, "Cancel"));
    field.focus(); field.select();
  }

  // The name of the part with its state, and where pieces have no place what to do.
  function heading(of) {
    const family = of.family ? `; one of a family of ${of.family}` : "", left = page.left(name);
    const place = left ? el("p", { class: "finding stop" }, `${count(left, "piece")} of ${of.name} ${left === 1 ? "has" : "have"} no place on the sheets: add sheets under `, el("a", { href: "#/shop" }, "Shop"), ", choose another sheet, or lower the quantity.") : null;
    head.replaceChildren(...[el("h2", { tabindex: -1 }, of.name), of.quantity.none ? null : stateOn(page, { ...of, pieces: of.quantity.pieces }, name), next(page, of), el("p", { class: "say" }, `${of.about || of.recipe}${family}`), acts(of), place].filter(Boolean));
  }
  // What is drawn and said of the part; its fields are left alone while one of them is in hand.
  function picture(of) {
    heading(of);
    facing.replaceChildren(of.facts ? facts(of) : el("p", { class: "note" }, of.quantity.none ? "None ordered." : flat.querySelector("svg") ? "Shown as it was before the error." : "Not drawn yet."));
    const [file, line] = of.written;
    facing.append(el("p", {}, file !== page.job.shown ? `Written in ${file}, line ${line}: change it there.` : inText(line, of.editable ? `Text, line ${line}` : `Change it in the text, line ${line}`)));
    fold.classList.toggle("old", !of.drawn);
    if (of.quantity.none) flat.replaceChildren(el("p", { class: "note" }, "None ordered: it is not drawn, checked or cut until there is a quantity."));
    else if (of.drawn) {
      flat.replaceChildren(drawn(of.drawn.flat));
      flat.classList.remove("old");
      left(of);
    } else if (flat.querySelector("svg")) {
      stale(flat);
    } else flat.replaceChildren(el("p", { class: "note" }, "It cannot be drawn yet: see the messages at the fields."));
    // Without a flat there is no formed part either.
    paper.classList.toggle("alone", !flat.querySelector("svg"));
    loads.replaceChildren(...(of.loads?.length ? [el("h3", {}, "Loads"), el("ul", {}, ...of.loads.map(load)), el("p", { class: "note" }, "bars: applied; line: allowable"), el("p", { class: "note" }, page.job.caution)] : []));
  }
  // Numbers of the drawing are handles: pointing at one lights its field, pressing it puts the hand there.
  let reached = 0, idle = 0;
  // They are tried out one by one: only once nothing is being changed for a moment.
  const handles = of => { clearTimeout(idle); idle = setTimeout(() => reach(of), 350); };
  async function reach(of) {
    if (!flat.isConnected) return;
    const mine = ++reached, { name: own } = of, texts = [...flat.querySelectorAll("svg text")];
    let all;
    try { all = await get("/handles", { name: own, ...room(flat) }); } catch { return; }
    if (mine !== reached || all.length !== texts.length) return;
    texts.forEach((text, i) => {
      const { words, key, told } = all[i];
      const step = bendOf(text), bend = step && now.drawn?.steps[step - 1];
      const says = key || (bend ? `bend \`${bend.name}\` of the recipe ${now.recipe}` : told);
      if (!says) return;
      text.dataset.handle = key || "";
      text.onclick = () => { if (bend) view.to(step); if (key && !fields.hand(key)) page.tell(`${words}: ${key}`); else if (!key) page.tell(`${words}: ${says.replace(/`/g, "")}`); };
      text.onpointerenter = () => { fields.light(key); if (bend) view.point(step); note.replaceChildren(key ? `${words} is set by ${key}.` : `${words}: ${says.replace(/`/g, "")}.`); };
      text.onpointerleave = () => { fields.light(null); if (bend) view.point(null); left(now); };
    });
  }
  // A finding nobody brought about here is looked into: at which field it stands, is tried out.
  let causing = 0, late = 0;
  const causes = of => {
    clearTimeout(late);
    if (isWaiting(of)) late = setTimeout(() => remedy(of), 60);
    else if (of.findings.some(one => !one.fixes.length)) late = setTimeout(() => cause(of), 250);
  };
  async function remedy(of) {
    if (!flat.isConnected) return;
    const mine = ++causing;
    let rows;
    try { rows = await get("/remedies", { name }); } catch { return; }
    if (mine !== causing || of !== now) return;
    proven(of, rows);
    fields.show(of);
    causes(of);
  }
  async function cause(of) {
    if (!flat.isConnected) return;
    const mine = ++causing;
    let all;
    try { all = new Map((await get("/causes", { name })).map(([headline, ...rest]) => [headline, rest])); } catch { return; }
    if (mine !== causing || of !== now || !all.size) return;
    for (const one of of.findings) {
      const [field, instead] = all.get(one.headline) ?? [];
      one.field = field ?? one.field;
      // Its default mends it: that was tried.
      if (instead && !one.fixes.length) { one.fixes = [[field, instead]]; one.tried = true; }
    }
    fields.show(of);
  }
  // The other way: a field in hand lights what it makes.
  cells.addEventListener("focusin", event => {
    for (const text of flat.querySelectorAll("svg text")) text.classList.toggle("lit", Boolean(text.dataset.handle) && text.dataset.handle === event.target.dataset.key);
  });
  cells.addEventListener("focusout", () => { for (const text of flat.querySelectorAll("svg text.lit")) text.classList.remove("lit"); });
  const left = of => note.replaceChildren(of.drawn?.left.length ? `Not shown here for lack of room: ${of.drawn.left.join("; ")}. The shop drawing has details.` : "");
  function show(of) {
    now = unproven(of);
    picture(of);
    if (of.drawn) handles(of);
    causes(of);
    fields.show(of);
    if (of.drawn) view.show(of, page.job.version);
  }
  function changed() {
    const words = changes(page, name);
    since.textContent = sinceOf(page.sheets?.changes);
    changing.replaceChildren(...words);
    dockWords.replaceChildren(...changes(page, name));
    const lines = dockWords.querySelectorAll("li").length;
    dockHead.textContent = lines ? `Changes: ${count(lines, "line")}` : "Changes: none";
  }
  async function load_() {
    const counts = asks.look();
    try {
      const of = await get("/part", { name, ...room(flat) });
      if (counts()) show(of);
    } catch (why) { place.replaceChildren(el("p", { class: "note" }, why.message), el("a", { href: "#/parts" }, "All parts")); }
  }
  // The bend that is looked at is lit in the flat by its number.
  const lit = n => { for (const text of flat.querySelectorAll("svg text")) text.classList.toggle("under", bendOf(text) === n); };
  view = folded(page, fold, name, lit);
  fields = form(page, cells, {
    name,
    // A text that is not taken yet: drawn, not written.
    tried: async (edit, quick) => {
      const counts = asks.attempt();
      const of = await post("/try", { edit, quick, ...room(flat) });
      if (!counts() || !of) return null;
      picture(of);
      // What is offered is tried with the rest, once nothing more is typed for a moment.
      return { ...unproven(of), waits: isWaiting(of) };
    },
    took: of => { if (of) { asks.look(); show(of); } else load_(); changed(); },
    room: () => room(flat),
    finding,
  });
  others();
  changed();
  load_();
  const grown = new ResizeObserver(() => { if (now?.drawn && Math.abs(room(flat).w - grown.w) > 24) { grown.w = room(flat).w; load_(); } });
  grown.w = room(flat).w;
  grown.observe(flat);
  return {
    leave: () => { clearTimeout(idle); clearTimeout(late); grown.disconnect(); view.leave(); },
    changed: () => { others(); load_(); changed(); },
    sheets: () => { changed(); if (now && !head.querySelector("input")) heading(now); },
    inked: () => view.inked(),
  };
}
