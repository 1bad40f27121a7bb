// The list of the parts, and the one that is looked at.
import { post } from "./ask.mjs";
import { el, mini, stateOn, count, loose } from "./words.mjs";
import { part } from "./part.mjs";

const address = name => `#/part/${encodeURIComponent(name)}`;

function row(page, of, current) {
  const shown = stateOn(page, of, of.name);
  const sub = of.pieces === null ? "not drawn" : of.pieces === 0 ? "none ordered" : count(of.pieces, "piece");
  return el("a", { href: address(of.name), "data-part": of.name, class: of.pieces === 0 ? "idle" : null, "aria-current": of.name === current ? "true" : null, tabindex: of.name === current ? null : -1 },
    el("span", { class: "mini" }), el("span", { class: "named" }, el("span", {}, el("b", {}, of.name), el("small", {}, sub)), of.pieces === 0 ? "" : shown));
}

// Parts under the sheets they are cut from, those whose words are sought.
function rows(job, sought) {
  const words = sought.toLowerCase().split(/\s+/);
  const is = of => words.every(word => `${of.name} ${of.recipe} ${of.sheet ?? ""}`.toLowerCase().includes(word));
  const groups = new Map();
  for (const of of job.parts.filter(is)) {
    const sheet = of.sheet ?? "No sheet chosen yet";
    if (!groups.has(sheet)) groups.set(sheet, []);
    groups.get(sheet).push(of);
  }
  const made = [...groups].flatMap(([sheet, all]) => [
    () => el("h3", {}, `${sheet}, ${count(all.length, "part")}`), ...all.map(of => ({ of }))]);
  if (!made.length) return job.parts.length ? [() => el("h3", {}, "No part matches.")] : [];
  return made;
}

// So many rows are drawn at a time: the others once one scrolls to them.
const AT_ONCE = 150;

// A list that is drawn as far as it is looked at, its small flats asked for where they are seen.
function lazy(page, list, current) {
  let all = [], drawn = 0, known = new Map(), version = 0;
  const more = el("div", { class: "more-rows" });
  const made = one => typeof one === "function" ? one() : row(page, one.of, current);
  const grow = () => {
    const next = all.slice(drawn, drawn + AT_ONCE).map(made);
    drawn += next.length;
    more.before(...next);
    more.textContent = drawn < all.length ? `${all.length - drawn} more below` : "";
    for (const one of next) if (one.matches("a")) seen.observe(one);
  };
  const put = (link, of) => { if (of) link.firstElementChild.replaceChildren(mini(of)); };
  let wanted = new Set(), waits = 0;
  async function ask() {
    waits = 0;
    const links = [...wanted].filter(link => link.isConnected), names = links.map(link => link.dataset.part);
    wanted = new Set();
    if (!names.length) return;
    const mine = version;
    let flats;
    try { flats = await post("/flats", { names }); } catch { return; }
    if (mine !== version) return;
    links.forEach((link, i) => { known.set(names[i], { of: flats[i], version: mine }); put(link, flats[i]); });
  }
  const seen = new IntersectionObserver(entries => {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) continue;
      if (target === more) { if (drawn < all.length) { grow(); seen.unobserve(more); seen.observe(more); } continue; }
      const have = known.get(target.dataset.part);
      if (have) put(target, have.of);
      if (have?.version !== version) wanted.add(target);
    }
    if (wanted.size && !waits) waits = setTimeout(ask, 30);
  }, { rootMargin: "200px" });
  return {
    fill(rows, of) {
      version = of;
      const last = Math.max(AT_ONCE, rows.findIndex(one => one.of?.name === current) + 40, Math.min(drawn, 2 * AT_ONCE));
      all = rows;
      seen.disconnect();
      drawn = 0;
      list.replaceChildren(more);
      while (drawn < Math.min(last, all.length)) grow();
      if (!list.querySelector("a:not([tabindex])")) list.querySelector("a")?.removeAttribute("tabindex");
      // What was drawn before stays until it is asked for anew.
      for (const link of list.querySelectorAll("a")) put(link, known.get(link.dataset.part)?.of);
      seen.observe(more);
    },
    leave: () => { clearTimeout(waits); seen.disconnect(); },
  };
}

// What to do where the job has no part.
function none(job) {
  if (job.read_only) return [el("p", { class: "answer" }, "The job has no part yet.")];
  return [el("p", { class: "answer" }, "The job has no part yet. Choose a recipe, and its part is drawn with default values that you can change."), el("div", { class: "acts" }, el("a", { class: "word", href: "#/new" }, "New part")),
    el("p", { class: "note" }, job.written ? "" : `There was no ${job.shown}: it is written with the first change. `, "Millimetres or inches, the process and the sheets are set under ", el("a", { href: "#/shop" }, "Shop"), ".")];
}

export function parts(page, main, name) {
  const wide = matchMedia("(min-width: 1200px)").matches;
  const first = page.job.parts.find(of => of.state[0] || page.left(of.name, true)) || page.job.parts[0];
  const shown = name || (wide && first ? first.name : null);
  const find = el("input", { id: "find", type: "search", placeholder: "Find a part", "aria-label": "Find a part", autocomplete: "off" });
  const list = el("nav", { class: "rows", "aria-label": "Parts of the job" });
  const lines = lazy(page, list, shown);
  const fill = () => lines.fill(rows(page.job, find.value), page.job.version);
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
  // On a narrow page only the list is seen.
  const isAside = !page.job.parts.length && !wide;
  const ofJob = () => general.replaceChildren(...page.job.findings.map(found => loose(found, page.job.read_only ? null : page.put)), ...isAside ? none(page.job) : []);
  fill();
  ofJob();
  const current = list.querySelector("[aria-current]");
  if (current && wide) list.scrollTop = current.offsetTop - list.clientHeight / 2;
  if (!page.job.parts.length && !isAside) place.replaceChildren(...none(page.job));
  const view = shown ? part(page, place, shown) : {};
  const again = () => { const focus = document.activeElement?.dataset?.part, top = list.scrollTop; fill(); list.scrollTop = top; if (focus) list.querySelector(`[data-part="${CSS.escape(focus)}"]`)?.focus(); };
  return {
    ...view,
    part: shown,
    sheets: () => { again(); view.sheets?.(); },
    leave: () => { lines.leave(); view.leave?.(); },
    job: () => { again(); ofJob(); },
    changed: () => { fill(); ofJob(); view.changed?.(); },
  };
}
