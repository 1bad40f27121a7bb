// The formed part: turned by hand, and folded step by step in its bend sequence.
import { get } from "./ask.mjs";
import { el, drawn, worded } from "./words.mjs";
import { turntable } from "./rotate.mjs";

// `lit` is called with the number of the step that is looked at, to light its line in the flat.
export function folded(page, box, name, lit = () => {}) {
  const turn = el("div", { class: "turn" });
  const steps = el("div", { class: "steps" });
  const section = el("div", { class: "flat section" });
  const words = el("div", { class: "stepwords" });
  const slider = el("input", { type: "range", min: 0, step: 0.05, "aria-label": "Bend sequence, 0 is flat" });
  const bar = el("div", { class: "bending" }, slider, steps, el("div", { class: "step" }, section, words));
  box.replaceChildren(turn, bar);
  const table = turntable(turn, name, way => to(Math.round(Number(slider.value)) + way));
  let of = null, busy = false, wanted = null, shown = "", pointed = null;
  // The end views of the steps that were looked at, of one state of the part.
  let views = new Map(), viewed = "";

  // One picture is asked for at a time, the last one that is wanted next.
  async function ask(done) {
    wanted = done;
    if (busy) return;
    busy = true;
    while (wanted !== null) {
      const next = wanted;
      wanted = null;
      try {
        const patches = await get("/folded", { name, done: next });
        table.show(patches, of.drawn.steps.length, next);
      } catch (why) { turn.setAttribute("aria-label", why.message); words.replaceChildren(el("p", { class: "note" }, why.message)); }
    }
    busy = false;
  }

  function to(done) {
    const most = of.drawn.steps.length;
    const at = Math.max(0, Math.min(most, done));
    slider.value = at;
    say(at);
    ask(at);
  }

  // The step under way at a place of the slider, from 1; 0 is flat.
  const stepAt = at => Math.ceil(at - 0.001);

  function say(at) {
    const now = stepAt(at);
    for (const button of steps.children) {
      const n = Number(button.dataset.step);
      if (n === now) button.setAttribute("aria-current", "step"); else button.removeAttribute("aria-current");
      button.classList.toggle("done", n <= at);
    }
    tell(pointed ?? now);
  }

  // The words have the room of the longest so far: what is below them, and the steps above, stay in place.
  let tall = 0;
  const grow = () => { tall = Math.max(tall, words.scrollHeight); words.style.minHeight = `${tall}px`; };

  // What is done at a step, and the section of its tools: of the one under way, or of one pointed at.
  function tell(n) {
    lit(n);
    const step = of.drawn.steps[n - 1];
    section.hidden = !step;
    if (!step) { words.replaceChildren(...of.drawn.first.map(line => el("p", {}, ...worded(line)))); grow(); table.tool(""); return; }
    const [before, angle, range] = step.to;
    const tool = el("p", { class: "tool" });
    words.replaceChildren(
      el("p", {}, el("b", {}, `${n} ${step.name} ${step.up ? "▲" : "▼"} ${step.angle}`), angle ? `: ${before} ` : "", angle ? el("b", {}, angle) : "", range ? ` (${range})` : ""),
      tool, ...step.lines.map(line => el("p", {}, ...worded(line))));
    grow();
    tooled(n, tool);
  }

  let telling = 0;
  async function tooled(n, tool) {
    const mine = ++telling, all = views;
    let view = all.get(n);
    if (!view) {
      try { view = await get("/section", { name, step: n }); } catch { view = null; }
      if (view?.picture) all.set(n, view);
      if (mine !== telling || all !== views) return;
    }
    section.replaceChildren(...view?.picture ? [drawn(view.picture)] : []);
    tool.textContent = view ? `tool: ${view.tool}` : "";
    grow();
    table.tool(view ? `bend ${n}, tool: ${view.tool}` : "");
  }

  slider.oninput = () => { say(Number(slider.value)); ask(Number(slider.value)); };
  return {
    show(part, version) {
      const fresh = of === null || of.drawn.steps.length !== part.drawn.steps.length;
      of = part;
      const most = part.drawn.steps.length;
      bar.hidden = most === 0;
      slider.max = most;
      const names = ["flat", ...part.drawn.steps.map((step, i) => `${i + 1} ${step.name}`)];
      const point = n => { pointed = n; tell(n ?? stepAt(Number(slider.value))); };
      if (steps.textContent !== names.join("")) {
        pointed = null;
        steps.replaceChildren(...names.map((word, i) => el("button", { type: "button", "data-step": i, onclick: () => { pointed = null; to(i); }, onpointerenter: event => { if (event.pointerType === "mouse") point(i); }, onpointerleave: () => { if (pointed !== null) point(null); } }, word)));
      }
      if (fresh) slider.value = most;
      const state = `${version} ${part.checking ?? ""}`;
      if (state !== viewed) { viewed = state; views = new Map(); tall = 0; words.style.minHeight = ""; }
      say(Number(slider.value));
      const key = `${version} ${slider.value}`;
      if (key !== shown) { shown = key; ask(Number(slider.value)); }
    },
    // Folds as far as a step.
    to: n => { if (of) to(n); },
    // Points at a step, or at none.
    point: n => { if (of) { pointed = n; tell(n ?? stepAt(Number(slider.value))); } },
    inked: () => table.inked(),
    leave: () => table.leave(),
  };
}
