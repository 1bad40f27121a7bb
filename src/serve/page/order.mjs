// What is written, and what differs from what was written before.
import { post } from "./ask.mjs";
import { el, state, count, number, worded } from "./words.mjs";

export function order(page, main) {
  const lead = el("p", { class: "lead" });
  const changes = el("div", { class: "changing" });
  const made = el("div", { class: "made", role: "status" });
  const go = el("button", { type: "button", class: "main" }, "Write everything");
  const stop = el("button", { type: "button", class: "word", hidden: true, onclick: () => post("/stop") }, "Stop searching: write this layout");
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "Order"), lead, el("div", { class: "search" }, go, stop), made, el("h3", {}, "What changes since the last output"), changes));

  function fill() {
    const { job, sheets } = page, [stops, cautions] = job.state;
    go.disabled = job.read_only || !sheets?.sheets;
    const what = sheets?.totals ? `${count(sheets.totals.pieces, "piece")} of ${count(sheets.totals.parts, "part")} on ${count(sheets.totals.sheets, "sheet")}${sheets.totals.cost ? `, sheets cost ${number(sheets.totals.cost, 2)}` : ""}. ` : "";
    const stopped = sheets?.stopped?.length ? `Stopped and left out: ${sheets.stopped.join(", ")}. ` : "";
    const judged = stops ? "" : cautions ? "Look at the cautions first. " : "";
    const how = sheets?.how === "done" || sheets?.how === "stopped" ? "The layout that was found is written." : "The search for a good layout comes first; it takes some seconds.";
    lead.replaceChildren(state(job.state), el("br"), `${what}${stopped}${judged}${sheets?.sheets ? how : sheets?.why || ""}`);
    const all = sheets?.changes;
    if (!all) { changes.replaceChildren(el("p", { class: "note" }, "Nothing was made yet: there is nothing to compare with.")); return; }
    const lines = [
      ...all.parts.map(part => el("li", {}, el("a", { href: `#/part/${encodeURIComponent(part.part)}` }, part.part), `: ${part.words}`, part.differences.length ? el("ul", {}, ...part.differences.map(words => el("li", {}, ...worded(words)))) : "")),
      ...all.job.map(change => el("li", {}, `${change.kind}: `, ...worded(change.words)))];
    changes.replaceChildren(lines.length ? el("ul", {}, ...lines) : el("p", { class: "note" }, "Nothing."));
  }

  go.onclick = async () => {
    go.disabled = true;
    stop.hidden = page.sheets?.how === "done" || page.sheets?.how === "stopped";
    made.replaceChildren(el("p", {}, "Being written …"));
    try {
      const { folder, files } = await post("/make");
      const orders = files.filter(name => name.startsWith("order/"));
      made.replaceChildren(el("p", { class: "big" }, `${count(files.length, "file")} written to ${folder}`),
        orders.length ? el("p", {}, "To send:") : "", el("ul", {}, ...orders.map(name => el("li", {}, el("code", {}, `${folder}/${name}`)))),
        el("p", { class: "note" }, `All that is known of them: ${folder}/report.html`));
    } catch (why) { made.replaceChildren(el("p", { class: "finding stop" }, why.message)); }
    stop.hidden = true;
    fill();
  };
  fill();
  return { changed: fill, sheets: fill };
}
