// What is sent and what is kept, what is written, and what differs from what was written before.
import { get, post } from "./ask.mjs";
import { el, stateOn, count, worded, partLinks, sinceOf, NOT_MADE } from "./words.mjs";

export function order(page, main) {
  const lead = el("p", { class: "lead" });
  const table = el("div", { class: "packages" });
  const changes = el("div", { class: "changing" });
  const heading = el("h3", {}, "Changes");
  const made = el("div", { class: "made", role: "status" });
  const before = el("div", {});
  const go = el("button", { type: "button", class: "main" }, "Write everything");
  const stop = el("button", { type: "button", class: "word", hidden: true, onclick: () => post("/stop") }, "Stop searching: write this layout");
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "Order"), lead, table, el("div", { class: "search" }, go, stop), made, before, heading, changes));
  let all = null, asked = 0;

  // What became of the parts of a package since they were sent, in a few words.
  function since(of) {
    const by = word => of.parts.filter(part => part.since === word);
    const sent = of.parts.map(part => part.sent).filter(Boolean);
    const [changed, fresh, fewer, more] = [by("changed since"), by("not sent yet"), by("fewer than were sent"), by("more than were sent")];
    if (!sent.length) return [el("span", { class: "note" }, "not sent yet")];
    const link = part => el("span", {}, el("a", { href: `#/part/${encodeURIComponent(part.name)}` }, part.name), ["fewer than were sent", "more than were sent"].includes(part.since) ? ` (${part.pieces}, sent ${part.sent_pieces})` : "");
    const named = (words, parts) => parts.length ? el("div", {}, `${words}: `, ...parts.slice(0, 6).flatMap((part, i) => [i ? ", " : "", link(part)]), parts.length > 6 ? `, and ${parts.length - 6} more` : "") : "";
    return [el("div", {}, sent[0]), [changed, fresh, fewer, more].some(all => all.length) ? "" : el("div", {}, "unchanged since it was sent"), named("changed since", changed), named("not sent yet", fresh), named("fewer than were sent", fewer), named("more than were sent", more)];
  }

  function packages() {
    const row = of => {
      const id = `send-${of.name}`;
      const box = el("input", { id, type: "checkbox", disabled: page.job.read_only });
      box.checked = !of.kept;
      box.onchange = async () => { try { await post("/keep", { name: of.name, keep: !box.checked }); } catch (why) { page.tell(why.message); } await load(); };
      const pieces = of.parts.reduce((sum, part) => sum + part.pieces, 0);
      const left = of.parts.reduce((sum, part) => sum + page.left(part.name, true), 0);
      return el("tr", {}, el("td", {}, el("span", { class: "send" }, box, el("label", { for: id }, of.kept ? "kept, cut here" : "send"))),
        el("td", {}, el("b", {}, `${of.material}, ${of.thickness}`)), el("td", {}, `${count(of.parts.length, "part")}, ${count(pieces, "piece")}`, left ? el("b", {}, `, ${left} of them without a place`) : ""), el("td", {}, ...since(of)));
    };
    table.replaceChildren(all.packages.length ? el("table", { class: "stock orders" }, el("thead", {}, el("tr", {}, ...["Send", "Material", "Contents", "Sent before"].map(word => el("th", { scope: "col" }, word)))), el("tbody", {}, ...all.packages.map(row))) : "");
    before.replaceChildren(...all.sent.length ? [el("h3", {}, "Sent before"), el("ul", { class: "touched" }, ...all.sent.map(sent => el("li", {}, `${sent.words}: ${count(sent.parts, "part")}`))), all.gone.length ? el("p", { class: "note" }, `In the last order, but no longer in the job: ${all.gone.join(", ")}.`) : ""] : []);
  }

  function fill() {
    const { job, sheets } = page;
    const known = sheets?.version === job.version;
    // Of a job that was changed since, the new layout comes first.
    go.disabled = job.read_only || !known || !sheets.sheets;
    const what = sheets?.totals ? `${sheets.totals.placed < sheets.totals.pieces ? `${sheets.totals.placed} of ` : ""}${count(sheets.totals.pieces, "piece")} of ${count(sheets.totals.parts, "part")} on ${count(sheets.totals.sheets, "sheet")}${sheets.price ? `, sheets cost ${sheets.price}` : ""}. ` : "";
    const stopped = sheets?.stopped?.length ? ["Stopped and left out: ", ...partLinks(sheets.stopped), ". "] : [];
    const left = sheets?.not_placed?.length ? `Could not be placed, and are not cut: ${sheets.not_placed.map(of => `${of.quantity} × ${of.part}`).join(", ")}. ` : "";
    const judged = job.checking || !known ? "" : `Ready to order? ${left || sheets?.how === "none" ? "No" : job.answer}. `;
    const how = sheets?.how === "done" || sheets?.how === "stopped" ? "The layout found will be written." : "A search for a good layout comes first; it takes a few seconds.";
    lead.replaceChildren(stateOn(page, job), el("br"), left ? el("b", {}, left) : "", what, ...stopped, judged,
      !known ? "Working out the layout. Nothing can be written yet." : sheets.sheets ? `${how} Everything will be written; packages you keep back are left off the list to send.` : `${sheets.why ?? "No layout is possible."} Nothing can be written yet.`);
    const differ = sheets?.changes;
    heading.textContent = `Changes ${sinceOf(differ)}`;
    const first = job.made ? "" : el("p", { class: "note" }, NOT_MADE);
    if (!known && sheets?.how !== "none") { changes.replaceChildren(el("p", { class: "note" }, "Working …")); return; }
    if (!differ) { changes.replaceChildren(first); return; }
    const lines = [
      ...differ.parts.map(part => el("li", {}, el("a", { href: `#/part/${encodeURIComponent(part.part)}` }, part.part), `: ${part.words}`, part.differences.length ? el("ul", {}, ...part.differences.map(words => el("li", {}, ...worded(words)))) : "")),
      ...differ.job.map(change => el("li", {}, `${change.kind}: `, ...worded(change.words)))];
    changes.replaceChildren(first, lines.length ? el("ul", {}, ...lines) : el("p", { class: "note" }, "None."));
  }

  // Once it is written: to whom it goes is recorded, so that what changes later is told against it.
  function recording() {
    const to = el("input", { id: "sent-to", type: "text", autocomplete: "off", placeholder: "the laser cutter" });
    const told = el("p", { class: "note", role: "status" });
    const record = async () => {
      if (!to.value.trim()) { to.focus(); return; }
      try {
        const { words } = await post("/sent", { to: to.value.trim() });
        told.textContent = words.split("\n")[0];
        await load();
      } catch (why) { told.replaceChildren(el("span", { class: "finding stop" }, why.message)); }
    };
    to.onkeydown = event => { if (event.key === "Enter") record(); };
    return el("div", { class: "recording" }, el("label", { for: "sent-to" }, "Sent to"), to, el("button", { type: "button", class: "word", onclick: record }, "Record it as sent"), told);
  }

  go.onclick = async () => {
    go.disabled = true;
    stop.hidden = page.sheets?.how === "done" || page.sheets?.how === "stopped";
    made.replaceChildren(el("p", {}, "Writing …"));
    try {
      page.made = await post("/make");
      written();
    } catch (why) { made.replaceChildren(el("p", { class: "finding stop" }, ...worded(why.message))); }
    stop.hidden = true;
    fill();
  };
  // What was written here last, with its files to save.
  function written() {
    const { folder, files } = page.made;
    const kept = new Set((all?.packages || []).filter(of => of.kept).map(of => of.name));
    const orders = files.filter(name => name.startsWith("order/")), stem = name => name.slice(6).replace(/\.[^.]*$/, "");
    const away = orders.filter(name => !kept.has(stem(name))), here = orders.filter(name => kept.has(stem(name)));
    const save = name => el("a", { class: "word", href: `/written?name=${encodeURIComponent(name)}`, download: name.split("/").pop(), "aria-label": `Save ${name}` }, "Save");
    const list = names => el("ul", {}, ...names.map(name => el("li", {}, el("code", {}, `${folder}/${name}`), " ", name.endsWith(".zip") ? save(name) : "")));
    made.replaceChildren(el("p", { class: "big" }, `${count(files.length, "file")} written to ${folder}`),
      away.length ? el("p", {}, "To send:") : "", list(away), away.length ? recording() : "",
      here.length ? el("p", { class: "note" }, `Kept: the sheets of ${[...kept].join(", ")} are cut here, from ${folder}/sheets.`) : "",
      el("p", { class: "note" }, `Full report: ${folder}/report.html `, save("report.html")));
  }
  async function load() {
    const mine = ++asked;
    try { const of = await get("/order"); if (mine !== asked) return; all = of; packages(); if (page.made && !made.firstChild) written(); } catch (why) { table.replaceChildren(el("p", { class: "note" }, why.message)); }
  }
  fill();
  load();
  return { changed: () => { fill(); load(); }, sheets: () => { fill(); if (all) packages(); }, order: load };
}
