// Elements and words that all views have in common.

// An element by its name, attributes, and what is in it: words are always words.
export function el(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...inside.flat().filter(of => of !== null && of !== undefined && of !== false));
  return made;
}

const SVG = "http://www.w3.org/2000/svg";

export function svg(name, attributes = {}, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside.flat());
  return made;
}

export const count = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;

// Words in which what stands between backticks is code, and between asterisks heavy.
export function worded(text) {
  return text.split("`").flatMap((piece, i) => i % 2
    ? [el("code", {}, piece)]
    : piece.split("*").map((run, k) => k % 2 ? el("b", {}, run.replace(/^#/, "")) : run));
}

const SHAPES = {
  clear: [["circle", { cx: 7, cy: 7, r: 6 }], ["path", { d: "M4 7.2 6.2 9.4 10 5" }]],
  caution: [["path", { d: "M7 1.2 13.2 12.6H.8Z" }], ["path", { d: "M7 5.2V8.8M7 10.6V10.8" }]],
  checking: [["circle", { cx: 7, cy: 7, r: 6 }], ["path", { d: "M7 3.4V7L9.6 8.6" }]],
  stop: [["rect", { x: 1, y: 1, width: 12, height: 12, class: "body" }], ["path", { d: "M4 7H10", class: "bar" }]],
};

const kindOf = ([stops, cautions], notes = 0) => stops ? "stop" : cautions || notes ? "caution" : "clear";
const wordOf = ([stops, cautions]) => stops ? count(stops, "stop") : cautions ? count(cautions, "caution") : "clear";

// The state of a part, a load or the job in the words of the report: with limits that are not judged, or
// notes on the fit, it is not clear. Nor is what is not looked at as a whole yet.
export const stateOf = of => of.checking && !of.state[0] ? state(of.state, of.checking, "checking") : state(of.state, of.said, kindOf(of.state, of.notes));

// The state of a part, or without a name of the job, once it is laid out: pieces that have no place on a
// sheet stop it, and before the layout is known nothing is clear.
export function stateOn(page, of, name) {
  const left = page.left(name), isClear = !of.state[0] && !of.state[1] && !of.notes;
  if (left) return state([1, 0], [isClear ? "" : of.said, `${left} without a place`].filter(Boolean).join(", "));
  if (name !== undefined && isClear && of.pieces && page.sheets?.how === "none" && page.sheets.version === page.job.version) return state(of.state, "not nested", "caution");
  if (left === null && isClear && !of.checking && of.pieces !== 0) return state(of.state, "being nested", "checking");
  return stateOf(of);
}

// A state by shape and word.
export function state(counts, word = wordOf(counts), kind = kindOf(counts)) {
  const shape = svg("svg", { viewBox: "0 0 14 14", "aria-hidden": "true" },
    SHAPES[kind].map(([name, attributes]) => svg(name, attributes)));
  return el("span", { class: `state ${kind}` }, shape, el("span", {}, word));
}

// The flat of a part, small.
export function mini(part) {
  const [w, h] = part.size || [10, 10];
  const view = svg("svg", { class: "mini", viewBox: `0 ${-h} ${w} ${h}`, "aria-hidden": "true" });
  if (part.flat) view.append(svg("path", { d: part.flat }));
  return view;
}

// Markup that the server drew; it holds no words but escaped ones.
export function drawn(text) {
  const parsed = new DOMParser().parseFromString(text.replace("<svg ", `<svg xmlns="${SVG}" `), "image/svg+xml");
  return document.importNode(parsed.documentElement, true);
}

// The names of parts as links, with commas between.
export const partLinks = names => names.flatMap((name, i) => [i ? ", " : "", el("a", { href: `#/part/${encodeURIComponent(name)}` }, name)]);

// What changes are compared with: the last output, or while there is none the file as it was opened.
export const sinceOf = changes => changes && !changes.opened ? "since the last output" : "since the file was opened";
export const NOT_MADE = "Nothing has been made yet: changes are shown against the file as it was opened.";


// What stays on the paper while nothing can be drawn.
export function stale(flat) {
  flat.classList.add("old");
  if (!flat.querySelector(".stale")) flat.prepend(el("p", { class: "stale", role: "status" }, "The last drawing before the stop: see the message at the field."));
}

export const number = (x, digits = 1) => (Math.round(x * 10 ** digits) / 10 ** digits).toFixed(digits);

// Says why something was not done right behind the button that asked for it; nothing where it was done.
export function sayAt(button, words) {
  const next = button?.nextElementSibling;
  if (next?.matches(".refusal")) next.remove();
  if (words) button.after(el("p", { class: "finding stop refusal", role: "alert" }, ...worded(words)));
}

// Where something can only be changed in the text: a link that opens it at that line.
export const inText = (line, words = `Text, line ${line}`) => el("a", { class: "word", href: `#/text/${line}` }, words);

// A text in which what a finding is marked at is replaced, as it is written there.
export function replaced(text, found, value) {
  const lines = text.split("\n"), [line, column] = found.place;
  const before = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
  // It begins in its line; the same words of another line are left alone.
  const within = at => at >= 0 && at <= before + (lines[line - 1] ?? "").length;
  const at = [text.indexOf(found.marked, before + column - 1), text.indexOf(found.marked, before)].find(within);
  if (at === undefined) return null;
  return text.slice(0, at) + (found.marked.startsWith('"') ? JSON.stringify(value) : value) + text.slice(at + found.marked.length);
}

// A finding at no field: with what to put in its place in the text, and the line to open.
export function loose(found, put, name) {
  const box = finding(found);
  const buttons = (put ? found.instead : []).map(value => el("button", { type: "button", class: "fix", onclick: event => put(found, value, event.currentTarget) }, `Use ${value}`));
  const line = found.place && name !== "text" ? inText(found.place[0]) : "";
  if (buttons.length || line) box.append(el("div", { class: "fixes" }, ...buttons, line));
  return box;
}

// A finding in words; `fix` is called with a field and a value to type there.
export function finding(found, fix) {
  const box = el("div", { class: `finding ${found.weight}` },
    state(found.weight === "stop" ? [1, 0] : [0, 1], found.label ? `${found.weight} ${found.label}` : found.weight),
    el("p", {}, ...worded(found.headline)));
  // What to do comes before what was tried.
  const notes = found.notes.map(note => el("p", { class: "note" }, ...worded(note)));
  const buttons = fix ? found.fixes.map(([field, value]) =>
    el("button", { type: "button", class: "fix", onclick: () => fix(field, value) }, field === (found.field ?? field) ? `Use ${value}` : `Set ${field.replace(/_/g, " ")} to ${value}`)) : [];
  if (found.help && (!buttons.length || found.tried)) box.append(el("p", { class: "help" }, "Fix: ", ...worded(found.help)));
  if (buttons.length) box.append(el("div", { class: "fixes" }, ...buttons));
  box.append(...(found.passed ?? []).map(note => el("p", { class: "note" }, ...worded(note))), ...notes);
  return box;
}
