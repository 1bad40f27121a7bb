// The page: where one is, what is undone, what is told.
import { get, post, listen } from "./ask.mjs";
import { el, stateOn, count, replaced, sayAt } from "./words.mjs";
import { parts } from "./parts.mjs";
import { links } from "./links.mjs";
import { machine } from "./machine.mjs";
import { shop } from "./shop.mjs";
import { fit } from "./fit.mjs";
import { sheets } from "./sheets.mjs";
import { order } from "./order.mjs";
import { jobText } from "./text.mjs";
import { fresh } from "./new.mjs";

const main = document.getElementById("main");
const $ = id => document.getElementById(id);

// What all views know: the job, its sheets, and how to change either.
export const page = { job: null, sheets: null, view: null, stepped: 0, width: () => main.clientWidth };

// How many pieces of a part, or of the job, have no place on a sheet; null while the layout is not known. Of
// other parts than the one that is changed the last layout says it.
page.left = (name, last) => {
  const { job, sheets } = page;
  if (job.unread || !job.parts.length) return 0;
  if (!sheets || (sheets.version !== job.version && !last)) return null;
  const all = (sheets.not_placed ?? []).filter(of => name === undefined || of.part === name);
  return all.reduce((sum, of) => sum + of.quantity, 0);
};

let hush = 0;
page.tell = (words, lasting) => {
  $("said").textContent = words;
  $("said").classList.remove("up");
  page.yieldTo(main.querySelector(".clash")?.closest(".cell") ?? document.activeElement?.closest?.(".cell"));
  clearTimeout(hush);
  if (!lasting) hush = setTimeout(() => { $("said").textContent = ""; }, 6000);
};
// What is told does not cover what is asked, or typed, at the foot of the window.
page.yieldTo = box => {
  const [said, own] = [$("said"), box].map(of => of?.getBoundingClientRect());
  if (own && said.height && said.top < own.bottom && own.top < said.bottom) $("said").classList.add("up");
};
page.go = address => { if (location.hash === address) route(); else location.hash = address; };

// Takes up a job that was answered or asked for, unless a later one was already.
page.take = job => {
  if (page.job && job.version < page.job.version) return;
  page.job = job;
  head();
};

// What is being changed here: what is told of it meanwhile is known by its answer.
let changing = Promise.resolve();
function change(path, body) {
  const answered = post(path, { ...body, quick: true });
  changing = Promise.all([changing, answered.catch(() => {})]);
  return answered;
}

// Makes an edit; the field that made it says what is wrong with it.
page.edit = async (edit, room = {}) => {
  const answered = await change("/edit", { edit, ...room });
  page.take(answered.job);
  page.view?.job?.();
  return answered;
};

// Puts a value that a finding offers into the text, at the place it is marked at.
page.put = async (found, value, button) => {
  try {
    const { text } = await get("/text"), after = replaced(text, found, value);
    if (after === null) throw new Error("that part of the text has since been changed");
    await page.edit({ do: "text", text: after, was: text });
    if (page.job.unread || location.hash.startsWith("#/text")) page.view?.changed?.(); else route();
  } catch (why) { sayAt(button, why.message); }
};

// For so long after an undo its values may still be on their way to the fields, ms. Our choice.
const SETTLING = 1500;

async function step(back) {
  page.stepped = Infinity;
  try { await stepOnce(back); } catch (why) {
    page.tell(why.message);
    // What was left out is no longer offered.
    try { page.take(await get("/job")); } catch { /* The page says itself when nobody answers. */ }
  }
  page.stepped = performance.now() + SETTLING;
}
async function stepOnce(back) {
  const was = location.hash;
  const stepped = await change("/step", { back });
  page.take(stepped.job);
  page.tell(`${back ? "Undone" : "Redone"}: ${stepped.name}`);
  // What is no longer there is not gone to, but what it stood in.
  const [kind, index] = (stepped.entry ?? "").split("/");
  const all = ["link", "tube", "load", "joint", "tube_end", "obstacle"].includes(kind) ? await get("/entries") : null;
  // Who has gone elsewhere meanwhile stays there.
  if (location.hash !== was) return;
  if (all?.[kind] && !all[kind][index]) { page.go(kind === "obstacle" ? "#/machine" : "#/links"); return; }
  if (stepped.entry) { if (page.view?.entry !== stepped.entry) page.go(`#/${stepped.entry}`); else page.view.changed(); return; }
  const there = page.job.parts.some(part => part.name === stepped.part);
  if (there && page.view?.part !== stepped.part) page.go(`#/part/${encodeURIComponent(stepped.part)}`);
  else if (!there && page.view?.part && !page.job.parts.some(p => p.name === page.view.part)) page.go("#/parts");
  else page.view?.changed?.();
}
page.undo = () => step(true);
$("undo").onclick = () => step(true);
$("redo").onclick = () => step(false);

function head() {
  const { job, sheets } = page;
  $("job").textContent = job.name;
  document.title = job.name;
  const sum = [stateOn(page, job)];
  if (sheets?.totals) {
    sum.push(el("span", {}, el("b", {}, sheets.totals.sheets), ` ${sheets.totals.sheets === 1 ? "sheet" : "sheets"}`));
    if (sheets.totals.cost) sum.push(el("span", {}, "sheets cost ", el("b", {}, sheets.price)));
  }
  sum.push(el("span", { class: job.read_only ? "file only" : "file" }, job.read_only ? "read-only" : job.written ? `in ${job.shown}` : `${job.shown}, not written yet`));
  $("sum").replaceChildren(...sum);
  for (const [id, word, of] of [["undo", "Undo", job.steps.undo], ["redo", "Redo", job.steps.redo]]) {
    $(id).disabled = !of;
    $(id).replaceChildren(word, of ? el("span", {}, ` ${of[0]}`) : "");
    $(id).setAttribute("aria-label", of ? `${word}: ${of[0]}` : word);
    $(id).title = of ? of[0] : "";
  }
}

function route() {
  page.view?.leave?.();
  const [, name = "parts", ...rest] = (location.hash || "#/parts").split("/");
  const argument = decodeURIComponent(rest.join("/"));
  const shown = { part: "parts", new: "parts", link: "links", tube: "links", load: "links", joint: "links", tube_end: "links", obstacle: "machine" }[name] || name;
  for (const link of document.querySelectorAll("nav [data-view]")) {
    if (link.dataset.view === shown) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  if (page.job.unread && name !== "text") { page.view = jobText(page, main, true); return; }
  const views = {
    parts: () => parts(page, main, null), part: () => parts(page, main, argument),
    links: () => links(page, main, null),
    machine: () => machine(page, main),
    shop: () => shop(page, main), fit: () => fit(page, main, argument),
    new: () => fresh(page, main), sheets: () => sheets(page, main), order: () => order(page, main),
    text: () => jobText(page, main, false, Number(argument)),
  };
  for (const kind of ["link", "tube", "load", "joint", "tube_end", "obstacle"]) views[kind] = () => links(page, main, `${kind}/${argument}`);
  page.view = (views[name] || views.parts)();
}
addEventListener("hashchange", () => {
  route();
  scrollTo(0, 0);
  const heading = main.querySelector("h2[tabindex]");
  if (heading && !main.contains(document.activeElement)) heading.focus({ preventScroll: true });
});

let asked = 0;
async function askSheets() {
  const mine = ++asked;
  const sheets = await get("/sheets");
  if (mine !== asked || sheets.how === "coming") return;
  page.sheets = sheets;
  head();
  page.view?.sheets?.();
}

async function heard(event) {
  if (event.kind === "lost") { page.tell("The program has ended: start it again, then reload this page.", true); return; }
  if (event.kind === "sheets") await askSheets();
  else if (event.kind === "order") page.view?.order?.();
  else if (event.kind === "search") page.view?.search?.(event);
  else if (event.kind === "job" || event.kind === "connected") {
    if (event.kind === "connected") page.tell("");
    if (event.told) page.tell(event.told);
    await changing;
    // Of what was changed here all is known but the layout.
    if (event.version <= page.job.version) { await askSheets(); return; }
    const unread = page.job.unread, job = await get("/job");
    if (event.kind === "connected") page.job = null;
    page.take(job);
    if (page.job.unread !== unread) route();
    else page.view?.changed?.();
    await askSheets();
  }
}

const dark = () => (document.documentElement.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
const theme = () => { $("theme").textContent = dark() ? "Light theme" : "Dark theme"; };
$("theme").onclick = () => {
  document.documentElement.dataset.theme = dark() ? "light" : "dark";
  theme();
  page.view?.inked?.();
};
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { theme(); page.view?.inked?.(); });

addEventListener("keydown", event => {
  const typing = event.target.matches?.("textarea") || (event.target.matches?.("input") && event.target.value !== event.target.defaultValue);
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !typing) {
    event.preventDefault();
    step(!event.shiftKey);
  } else if (event.key === "/" && !event.target.matches?.("input, select, textarea")) {
    const find = $("find");
    if (find?.checkVisibility()) { event.preventDefault(); find.focus(); }
  }
});

addEventListener("beforeunload", event => { if (page.forms?.some(of => of.isTyping()) && !page.job.read_only) event.preventDefault(); });

page.take(await get("/job"));
theme();
route();
listen(heard);
await askSheets();
document.documentElement.dataset.ready = "";
