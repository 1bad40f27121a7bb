// The parts on their sheets: the layout that stands, better ones when they are asked for.
import { post } from "./ask.mjs";
import { el, svg, count, number, worded, partLinks, sayAt } from "./words.mjs";
import { closer } from "./zoom.mjs";

// As the report and the drawing print it.
const percent = x => `${number(x, 2)} %`;

// A sheet with its pieces; of a small one only the outlines.
function picture(sheet, outlines, small) {
  const [w, h] = sheet.size_mm, pad = small ? 0 : Math.max(w, h) * 0.004;
  const view = svg("svg", { class: small ? "nest small" : "nest", viewBox: `${-pad} ${-h - pad} ${w + 2 * pad} ${h + 2 * pad}`, role: "img", "aria-label": `Sheet ${sheet.name} with ${count(sheet.placed.length, "piece")}` });
  const within = `within-${small ? "small" : "large"}-${sheet.name}`;
  view.append(svg("clipPath", { id: within }, svg("path", { d: sheet.outline })));
  const kept = svg("g", { "clip-path": `url(#${within})` });
  // What stays free is hatched, at 45° and alike on every sheet.
  const hatch = `hatch-${within}`, step = Math.max(w, h) / 110, fill = `url(#${hatch})`;
  view.append(svg("pattern", { id: hatch, width: step, height: step, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, svg("path", { class: "hatch", d: `M0 0V${step}` })));
  for (const d of sheet.keep_out) kept.append(svg("path", { class: "out", d, fill }));
  for (const [x, y, width, height] of sheet.clamps) kept.append(svg("rect", { class: "out", x, y, width, height, fill }));
  view.append(kept);
  view.append(svg("path", { class: "edge", d: sheet.outline }));
  if (!small) for (const d of sheet.margins) view.append(svg("path", { class: "margin", d }));
  sheet.placed.forEach(piece => {
    const place = `translate(${piece.x_mm} ${-piece.y_mm}) rotate(${-piece.orientation_deg})${piece.mirrored ? " scale(-1 1)" : ""}`;
    const shown = svg("path", { class: "piece", d: outlines.get(piece.part) || "", transform: place, "data-part": piece.part });
    if (!small) shown.append(svg("title", {}, piece.part));
    view.append(shown);
  });
  if (sheet.remnant_mm && sheet.remnant_at_mm && !small) {
    const [x, y] = sheet.remnant_at_mm, [width, height] = sheet.remnant_mm;
    view.append(svg("rect", { class: "remnant", x, y: -y - height, width, height }));
  }
  return view;
}

// The parts on a sheet, each with how many there are; their order gives the numbers of the pieces.
function counted(sheet) {
  const counts = new Map();
  for (const piece of sheet.placed) counts.set(piece.part, (counts.get(piece.part) || 0) + 1);
  return counts;
}

// Numbers on the pieces, and the names of what stays free: at the centre of each, once it is drawn.
function label(view, sheet) {
  const numbers = new Map([...counted(sheet).keys()].map((part, i) => [part, i + 1]));
  const least = Math.max(...sheet.size_mm) / 62, legible = 12 * sheet.size_mm[0] / (view.clientWidth || 744);
  const put = (of, words, name) => {
    const { x, y, width, height } = of.getBBox(), set = of.transform.baseVal.consolidate()?.matrix;
    const middle = new DOMPoint(x + width / 2, y + height / 2), centre = set ? middle.matrixTransform(set) : middle;
    // In a small window as large as can be read, as far as it fits.
    const fits = Math.min(0.8 * Math.min(width, height), Math.max(width, height) / (0.6 * words.length));
    const size = Math.max(least, Math.min(legible, fits));
    view.append(svg("text", { class: name, x: centre.x, y: centre.y, "font-size": size, dy: "0.35em" }, words));
  };
  view.querySelectorAll(".piece").forEach(piece => put(piece, String(numbers.get(piece.dataset.part)), "no"));
  view.querySelectorAll("path.out").forEach((out, i) => put(out, sheet.keep_out_names[i], "name"));
  view.querySelectorAll("rect.out").forEach(out => put(out, "clamp", "name"));
}

function facts(page, sheet) {
  const counts = counted(sheet);
  const lines = [
    ["Size", sheet.size], ["Kind", sheet.kind], ["Pieces", String(sheet.placed.length)],
    ["Used length filled", percent(sheet.used.gross_percent)], ["Upper bound", percent(sheet.used.upper_bound_percent)],
    ["Cut", `${sheet.cut}, ${count(sheet.pierces, "pierce")}`],
    ["Cost", sheet.price ?? "no price"],
    ["Remnant", sheet.remnant],
  ];
  const parts = [...counts].map(([part, n], i) => el("li", {}, el("b", {}, String(i + 1)), ` ${n} × `, el("a", { href: `#/part/${encodeURIComponent(part)}`, "data-part": part }, part)));
  return [el("dl", {}, ...lines.flatMap(([key, value]) => [el("dt", {}, key), el("dd", {}, value)])), el("h3", {}, "Parts on it"), el("ul", { class: "on-it" }, ...parts),
    ...(sheet.remnant_stock ? [el("h3", {}, "To use the remnant"), ...remnant(page, sheet)] : [])];
}

// What is left of a sheet is a line of the stock once the sheet is cut.
function remnant(page, sheet) {
  const edit = { do: "shop", change: { "add-remnant": { sheet: sheet.kind_index, name: sheet.kind, stock: sheet.remnant_stock, from: { row: sheet.stock_index, count: sheet.stock_count } } } };
  const there = sheet.stock_count;
  const fewer = there === null ? "" : there === 1 ? " The remnant is from the last sheet of its size, which is removed from the stock in the same step." : ` The stock count of that sheet goes from ${there} to ${there - 1} in the same step.`;
  const add = async event => {
    const button = event.currentTarget;
    try { await page.edit(edit); page.go("#/shop"); } catch (why) { sayAt(button, why.message); }
  };
  return [el("p", { class: "note" }, `After this sheet is cut, add the remnant to the stock: later layouts use it first.${fewer}`), el("pre", {}, sheet.remnant_stock),
    page.job.read_only ? "" : el("button", { type: "button", class: "word", onclick: add }, "Add the remnant to the stock")];
}

export function sheets(page, main) {
  const near = closer();
  let shown = 0, searching = false, better = "", before = "";
  // The outlines of the parts that lie on the sheets, asked for once for a state of the job.
  let outlines = new Map(), outlined = 0, asking = false;
  async function outline(all) {
    if (asking) return;
    asking = true;
    const names = [...new Set(all.sheets.flatMap(sheet => sheet.placed.map(piece => piece.part)))];
    try {
      const flats = await post("/flats", { names });
      outlines = new Map(names.map((name, i) => [name, flats[i]?.flat]));
      outlined = all.version;
    } catch (why) { page.tell(why.message); }
    asking = false;
    if (outlined === page.sheets?.version) fill();
  }
  const head = el("p", { class: "lead", role: "status" });
  const go = el("button", { type: "button", class: "word" });
  const thumbs = el("div", { class: "thumbs" });
  const stage = el("div", { class: "stage" });
  const side = el("div", { class: "sides" });
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "Sheets"), el("div", { class: "search" }, head, go, el("a", { class: "next", href: "#/order" }, "Next: order")), thumbs, el("div", { class: "split" }, stage, side)));

  function light(part) {
    for (const of of main.querySelectorAll("[data-part]")) of.classList.toggle("lit", of.dataset.part === part);
  }
  main.onpointerover = event => { const of = event.target.closest?.("[data-part]"); if (of) light(of.dataset.part); };

  function fill() {
    const all = page.sheets, same = all && all.version === page.job.version;
    go.hidden = !all?.sheets || (!searching && all.how === "done");
    go.textContent = searching ? "Stop: keep this layout" : "Search for a better layout";
    if (!all || !same) { head.textContent = "Working out the first layout."; return; }
    const stopped = all.stopped?.length ? [` Stopped and left out: `, ...partLinks(all.stopped), "."] : [];
    if (!all.sheets) { head.replaceChildren(...worded(all.why || "No layout is possible."), ...stopped); thumbs.replaceChildren(); stage.replaceChildren(); side.replaceChildren(); return; }
    const { totals } = all;
    const stands = { first: "the first layout", done: "the search is done", stopped: "the search was stopped", searching: "searching" }[all.how];
    const left = all.not_placed.length ? ` ${all.not_placed.map(of => `${of.quantity} × ${of.part}`).join(", ")} could not be placed.` : "";
    head.replaceChildren(`${count(totals.sheets, "sheet")}, material yield ${percent(totals.yield_percent)}${all.price ? `, sheets cost ${all.price}` : ""}; ${searching ? better || "searching" : stands}.${left}`, ...stopped);
    if (outlined !== all.version || all.sheets.some(sheet => sheet.placed.some(piece => !outlines.has(piece.part)))) { outline(all); return; }
    shown = Math.min(shown, all.sheets.length - 1);
    thumbs.replaceChildren(...all.sheets.map((sheet, i) => el("button", { type: "button", "aria-pressed": i === shown ? "true" : "false", onclick: () => { if (shown !== i) near.home(); shown = i; fill(); } },
      picture(sheet, outlines, true), el("span", {}, sheet.name), el("small", {}, `${percent(sheet.used.gross_percent)}, ${count(sheet.placed.length, "piece")}`))));
    const sheet = all.sheets[shown];
    if (!sheet) { stage.replaceChildren(); side.replaceChildren(); return; }
    const large = picture(sheet, outlines, false), focused = stage.contains(document.activeElement) && document.activeElement.matches("svg");
    large.setAttribute("aria-label", `${large.getAttribute("aria-label")}. Plus and minus zoom, arrow keys move it, 0 shows the whole sheet.`);
    // A better one takes the place of the one before with a short fade.
    const stamp = `${all.version} ${all.how} ${number(totals.yield_percent, 4)} ${shown}`;
    if (before && before !== stamp) large.classList.add("fresh");
    before = stamp;
    near.take(large);
    stage.replaceChildren(large, near.buttons());
    label(large, sheet);
    if (focused) large.focus({ preventScroll: true });
    side.replaceChildren(el("h3", {}, sheet.name), ...facts(page, sheet));
  }

  go.onclick = async () => {
    if (searching) { await post("/stop"); return; }
    searching = true;
    better = "";
    fill();
    // What is found for a job that has been changed meanwhile is no layout of this one.
    try { const found = await post("/search"); if (found.how !== "coming") page.sheets = found; } catch (why) { page.tell(why.message); }
    searching = false;
    fill();
  };
  fill();
  return {
    changed: fill,
    sheets: fill,
    search: event => { better = `${event.sheet}: ${count(event.sheets, "sheet")}, ${percent(Math.floor(event.percent * 100) / 100)}, upper bound ${percent(Math.ceil(event.max * 100) / 100)}`; if (searching) fill(); },
  };
}
