// A trial fit: what was measured on a part in the hand, what comes of it, and whether that is taken.
import { get, post } from "./ask.mjs";
import { el, drawn, worded, finding, sayAt } from "./words.mjs";

const list = all => el("ul", { class: "touched" }, ...all.map(words => el("li", {}, ...worded(words))));

export function fit(page, main, name) {
  const parts = page.job.parts.filter(part => part.pieces);
  let part = parts.some(of => of.name === name) ? name : parts[0]?.name, all = null, now = null, asked = 0;
  const choose = el("select", { id: "fit-part", class: "given" }, ...parts.map(of => el("option", { value: of.name }, of.name)));
  const what = el("select", { id: "fit-what", class: "given" });
  const flat = el("div", { class: "flat" });
  const reading = el("input", { id: "fit-is", type: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": "fit-drawn fit-found" });
  const asks = el("p", { class: "about", id: "fit-drawn" });
  const coated = el("input", { id: "fit-coated", type: "checkbox" });
  const over = el("p", { class: "over" }, coated, el("label", { for: "fit-coated" }, "measured over the coating"));
  const found = el("div", { id: "fit-found", role: "status" });
  const answer = el("div", { class: "answerbox", role: "status" });
  const measured = el("div", { class: "noted" });
  const field = (label, input, ...more) => el("div", { class: "cell" }, el("label", { for: input.id }, el("b", {}, label)), input, ...more);
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "Trial fit"),
    el("p", { class: "lead" }, "Measure the part in your hand and type the reading. The correction is shown with everything it affects; nothing changes until you use it."),
    parts.length ? el("div", { class: "fitting" }, el("form", { class: "cells one", autocomplete: "off", onsubmit: event => event.preventDefault() },
      field("part", choose), field("measured", what), field("reading", reading, asks, over, found)), el("div", { class: "answered" }, answer, measured), el("div", { class: "frame where" }, flat))
      : el("p", { class: "note" }, "The job has no part to measure yet.")));
  if (!parts.length) return {};
  choose.value = part;

  const target = () => all?.all[what.selectedIndex];
  const edit = instead => ({ do: "measured", part, what: target().what, of: target().of, is: reading.value.trim(), coated: coated.checked, ...instead ? { instead } : {} });

  function nothing() {
    const of = target();
    asks.textContent = of ? `Nominal ${coated.checked ? of.drawn_coated : of.drawn}${of.angle ? ", from flat: 180° less the protractor reading between the legs" : ""}. Separate several readings with commas.` : "";
    found.replaceChildren();
    answer.replaceChildren(el("p", { class: "note" }, "Type a reading to see the correction and what it affects."));
  }

  async function taken(instead, words) {
    try {
      await page.edit(edit(instead));
      reading.value = "";
      await load();
      page.tell(words);
    } catch (why) { if (why.outside) page.tell(why.message); else found.replaceChildren(el("p", { class: "finding stop" }, why.message)); }
  }

  function show(of) {
    now = of;
    found.replaceChildren(...of.findings.filter(one => one.field && !of.words).map(one => finding(one, (key, value) => { reading.value = value; attempt(); reading.focus(); })));
    if (!of.words) { answer.replaceChildren(el("p", { class: "note" }, "It cannot be evaluated: see the message at the reading.")); return; }
    const { bends, instead } = of;
    const named = bends?.bends.map(([name]) => name).join(", ");
    const head = bends ? [el("b", {}, `bend deduction of ${named}`), ` ${bends.deduction[0]} → ${bends.deduction[1]}`]
      : instead ? [`next pieces come out at ${of.next}, wanted ${instead[0]}`] : [of.head];
    const touched = [...of.fits, ...of.others.map(other => `also ${other.words}`)];
    const why = bends ? `K-factor ${bends.k[0]} → ${bends.k[1]}, for this part. The flat changes; the dimension on the drawing does not.` : of.why || "";
    const buttons = page.job.read_only ? [] : [
      bends ? el("button", { type: "button", class: "main", onclick: () => taken({ k: Number(bends.k[1]), bends: bends.bends }, `Set: K-factor of ${named} ${bends.k[1]}`) }, "Use this deduction") : "",
      el("button", { type: "button", class: "word", onclick: () => taken(null, "Recorded; nothing else was changed.") }, bends ? "Only record the reading" : "Record the reading"),
      el("button", { type: "button", class: "word", onclick: () => { reading.value = ""; nothing(); reading.focus(); } }, "Discard the reading")];
    answer.replaceChildren(
      el("p", { class: "note" }, `${of.off} off. `, ...worded(of.words)), el("p", { class: "big" }, ...head),
      why ? el("p", {}, why) : "",
      bends?.caution ? el("p", { class: "note" }, bends.caution) : "",
      ...of.findings.map(one => finding(one)),
      touched.length ? el("h3", {}, "What it affects") : "", touched.length ? list(touched) : "",
      of.causes.length ? el("h3", {}, "Causes, with 95 % limits") : "", of.causes.length ? list(of.causes) : "",
      ...of.rows.flatMap(row => [el("h3", {}, "A row for the shop file, which corrects all such parts"), el("p", {}, row.words), el("pre", {}, row.toml), el("p", { class: "note" }, ...worded(row.once_used))]),
      el("div", { class: "search" }, ...buttons));
  }

  async function attempt() {
    const mine = ++asked;
    if (!reading.value.trim() || !target()) { nothing(); return; }
    try {
      const of = await post("/try", { edit: edit(null) });
      if (mine === asked && of) show(of);
    } catch (why) { if (mine === asked) found.replaceChildren(el("p", { class: "finding stop" }, why.message)); }
  }
  let wait = 0;
  reading.oninput = () => { clearTimeout(wait); wait = setTimeout(attempt, 120); };
  coated.onchange = () => { nothing(); attempt(); };
  what.onchange = () => { reading.value = ""; nothing(); reading.focus(); };
  choose.onchange = () => { part = choose.value; history.replaceState(null, "", `#/fit/${encodeURIComponent(part)}`); reading.value = ""; load(true); };

  async function load(fresh) {
    try { all = await get("/measurable", { name: part }); } catch (why) { answer.replaceChildren(el("p", { class: "note" }, why.message)); what.replaceChildren(); return; }
    const before = fresh ? 0 : Math.max(0, what.selectedIndex);
    what.replaceChildren(...all.all.map(of => el("option", {}, of.words.replace(/`/g, ""))));
    what.selectedIndex = Math.min(before, all.all.length - 1);
    over.hidden = !all.coated;
    if (over.hidden) coated.checked = false;
    const out = (of, button) => act(button, { do: "entry", kind: "as_built", index: of.index, name: of.part, change: { "take-out": {} } });
    const act = async (button, change) => { try { await page.edit(change); await load(); } catch (why) { sayAt(button, why.message); } };
    measured.replaceChildren(...all.measured.length ? [el("h3", {}, "Measured so far"), el("ul", {}, ...all.measured.map(of =>
      el("li", {}, el("span", {}, el("b", {}, of.part), `, ${of.words}`), page.job.read_only ? "" : el("button", { type: "button", class: "word", onclick: event => out(of, event.currentTarget) }, "Remove"))))] : []);
    if (reading.value.trim()) attempt(); else nothing();
    // Where it is measured is found on the drawing.
    try { const of = await get("/part", { name: part, w: Math.max(300, flat.clientWidth - 16), h: Math.max(260, flat.clientHeight - 16) }); flat.replaceChildren(of.drawn ? drawn(of.drawn.flat) : el("p", { class: "note" }, "It is not drawn: see its messages under Parts.")); } catch (why) { flat.replaceChildren(el("p", { class: "note" }, why.message)); }
  }
  load(true);
  return { changed: () => load(), get entry() { return `fit/${part}`; } };
}
