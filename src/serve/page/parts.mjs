// The list of the parts, and the one that is looked at.
import { el, mini, stateOf, count, finding } from "./words.mjs";
import { part } from "./part.mjs";

const address = name => `#/part/${encodeURIComponent(name)}`;

function row(of, current) {
  const sub = of.pieces === null ? "not drawn" : of.pieces === 0 ? "none ordered" : count(of.pieces, "piece");
  return el("a", { href: address(of.name), "data-part": of.name, class: of.pieces === 0 ? "idle" : null, "aria-current": of.name === current ? "true" : null, tabindex: of.name === current ? null : -1 },
    mini(of), el("span", {}, el("b", {}, of.name), el("small", {}, sub)), of.pieces === 0 ? "" : stateOf(of));
}

// Parts under the sheets they are cut from, those whose words are sought.
function rows(job, sought, current) {
  const words = sought.toLowerCase().split(/\s+/);
  const is = of => words.every(word => `${of.name} ${of.recipe} ${of.sheet ?? ""}`.toLowerCase().includes(word));
  const groups = new Map();
  for (const of of job.parts.filter(is)) {
    const sheet = of.sheet ?? "No sheet chosen yet";
    if (!groups.has(sheet)) groups.set(sheet, []);
    groups.get(sheet).push(of);
  }
  const made = [...groups].flatMap(([sheet, all]) => [
    el("h3", {}, `${sheet}, ${count(all.length, "part")}`), ...all.map(of => row(of, current))]);
  if (!made.length) return [el("h3", {}, job.parts.length ? "No part matches." : "No part yet: add one.")];
  if (!made.some(of => of.matches("a:not([tabindex])"))) made.find(of => of.matches("a"))?.removeAttribute("tabindex");
  return made;
}

export function parts(page, main, name) {
  const wide = matchMedia("(min-width: 1200px)").matches;
  const first = page.job.parts.find(of => of.state[0]) || page.job.parts[0];
  const shown = name || (wide && first ? first.name : null);
  const find = el("input", { id: "find", type: "search", placeholder: "Find a part", "aria-label": "Find a part", autocomplete: "off" });
  const list = el("nav", { class: "rows", "aria-label": "Parts of the job" });
  const fill = () => list.replaceChildren(...rows(page.job, find.value, shown));
  const place = el("article", { class: "part", "aria-label": shown });
  const general = el("div", { class: "general" });
  const add = page.job.read_only ? null : el("a", { class: "word", href: "#/new" }, "New part");
  main.replaceChildren(el("div", { class: shown && name ? "two one" : "two" },
    el("aside", { class: "list", "aria-label": "Parts" }, el("div", { class: "listhead" }, find, add), general, list), place));
  find.oninput = fill;
  list.onkeydown = event => {
    const way = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    const all = [...list.querySelectorAll("a")];
    const next = all[Math.max(0, Math.min(all.length - 1, all.indexOf(document.activeElement) + way))];
    for (const other of all) other.tabIndex = -1;
    next.removeAttribute("tabindex");
    next.focus();
  };
  const ofJob = () => general.replaceChildren(...page.job.findings.map(found => finding(found)));
  fill();
  ofJob();
  const current = list.querySelector("[aria-current]");
  if (current && wide) list.scrollTop = current.offsetTop - list.clientHeight / 2;
  const view = shown ? part(page, place, shown) : {};
  return {
    ...view,
    part: shown,
    job: () => { const focus = document.activeElement?.dataset?.part; fill(); ofJob(); if (focus) list.querySelector(`[data-part="${CSS.escape(focus)}"]`)?.focus(); },
    changed: () => { fill(); ofJob(); view.changed?.(); },
  };
}
