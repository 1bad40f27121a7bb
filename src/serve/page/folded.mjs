// The formed part: turned by hand, and folded step by step in its bend sequence.
import { get } from "./ask.mjs";
import { el, worded } from "./words.mjs";
import { turntable } from "./turn.mjs";

export function folded(page, box, name) {
  const turn = el("div", { class: "turn" });
  const steps = el("div", { class: "steps" });
  const words = el("div", { class: "stepwords" });
  const slider = el("input", { type: "range", min: 0, step: 0.05, "aria-label": "Bend sequence, 0 is flat" });
  const bar = el("div", { class: "bending" }, slider, steps, words);
  box.replaceChildren(turn, bar);
  const table = turntable(turn, name, way => to(Math.round(Number(slider.value)) + way));
  let of = null, busy = false, wanted = null, shown = "";

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

  function say(at) {
    const all = of.drawn.steps, i = Math.ceil(at - 0.001) - 1;
    for (const button of steps.children) {
      const n = Number(button.dataset.step);
      if (n === i + 1) button.setAttribute("aria-current", "step"); else button.removeAttribute("aria-current");
      button.classList.toggle("done", n <= at);
    }
    const step = all[i];
    if (!step) { words.replaceChildren(...of.drawn.first.map(line => el("p", {}, ...worded(line)))); return; }
    const [before, angle, range] = step.to;
    words.replaceChildren(
      el("p", {}, el("b", {}, `${i + 1} ${step.name} ${step.up ? "▲" : "▼"} ${step.angle}`), angle ? `: ${before} ` : "", angle ? el("b", {}, angle) : "", range ? ` (${range})` : ""),
      ...step.lines.map(line => el("p", {}, ...worded(line))));
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
      steps.replaceChildren(...names.map((word, i) => el("button", { type: "button", "data-step": i, onclick: () => to(i) }, word)));
      if (fresh) slider.value = most;
      say(Number(slider.value));
      const key = `${version} ${slider.value}`;
      if (key !== shown) { shown = key; ask(Number(slider.value)); }
    },
    inked: () => table.inked(),
    leave: () => table.leave(),
  };
}
