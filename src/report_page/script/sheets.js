
// One sheet at a time, chosen by its small picture; the plain wheel scrolls the page, with Ctrl it
// zooms.
function stageOf(svg) {
  const full = svg.getAttribute("viewBox").split(" ").map(Number);
  const words = all("text.n", svg);
  let box = [...full], asked = 0;
  const isWhole = () => box[2] > full[2] * 0.999;
  const draw = () => {
    asked = 0;
    const seen = svg.getBoundingClientRect();
    if (seen.width < 20) return;
    const unit = Math.max(box[2] / seen.width, box[3] / seen.height);
    svg.setAttribute("viewBox", box.map(n => Math.round(n * 1000) / 1000).join(" "));
    svg.style.setProperty("--z", unit.toFixed(4));
    for (const text of words) text.classList.toggle("tiny", text.dataset.r / unit < Math.max(6, 3.8 * text.textContent.length));
    svg.style.cursor = isWhole() ? "" : "grab";
    svg.style.touchAction = isWhole() ? "pan-y pinch-zoom" : "none";
  };
  const put = next => { box = next; if (!asked) asked = requestAnimationFrame(draw); };
  const within = next => {
    const wide = Math.min(full[2], Math.max(full[2] / 24, next[2])), high = wide * full[3] / full[2];
    const clamp = (at, from, room) => Math.max(from, Math.min(from + room, at));
    return [clamp(next[0], full[0], full[2] - wide), clamp(next[1], full[1], full[3] - high), wide, high];
  };
  const zoom = (by, x = 0.5, y = 0.5) => {
    const wide = box[2] / by, high = box[3] / by;
    put(within([box[0] + (box[2] - wide) * x, box[1] + (box[3] - high) * y, wide, high]));
  };
  const pan = (x, y) => put(within([box[0] + x * box[2], box[1] + y * box[3], box[2], box[3]]));
  const at = event => { const seen = svg.getBoundingClientRect(); return [(event.clientX - seen.left) / seen.width, (event.clientY - seen.top) / seen.height]; };
  svg.addEventListener("wheel", event => {
    if (!event.ctrlKey && !event.metaKey) return;
    event.preventDefault();
    zoom(Math.exp(-event.deltaY * 0.004), ...at(event));
  }, { passive: false });
  const down = new Map();
  let far = 0;
  svg.addEventListener("pointerdown", event => { down.set(event.pointerId, [event.clientX, event.clientY]); if (down.size === 1) far = 0; });
  svg.addEventListener("dragstart", event => event.preventDefault());
  addEventListener("pointermove", event => {
    const old = down.get(event.pointerId);
    if (!old) return;
    const seen = svg.getBoundingClientRect();
    far += Math.hypot(event.clientX - old[0], event.clientY - old[1]);
    if (down.size === 2) {
      const other = [...down].find(([id]) => id !== event.pointerId)[1];
      const was = Math.hypot(old[0] - other[0], old[1] - other[1]);
      const is = Math.hypot(event.clientX - other[0], event.clientY - other[1]);
      if (was > 0) zoom(is / was, ((event.clientX + other[0]) / 2 - seen.left) / seen.width, ((event.clientY + other[1]) / 2 - seen.top) / seen.height);
    } else if (!isWhole()) pan((old[0] - event.clientX) / seen.width, (old[1] - event.clientY) / seen.height);
    down.set(event.pointerId, [event.clientX, event.clientY]);
  });
  for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, event => down.delete(event.pointerId));
  // A drag ends on a piece without opening its card.
  svg.addEventListener("click", event => { if (far > 5) event.preventDefault(); }, true);
  const keys = { ArrowLeft: [-0.12, 0], ArrowRight: [0.12, 0], ArrowUp: [0, -0.12], ArrowDown: [0, 0.12] };
  const key = event => {
    if (keys[event.key]) { if (isWhole()) return; pan(...keys[event.key]); }
    else if (event.key === "+" || event.key === "=") zoom(1.4);
    else if (event.key === "-") zoom(1 / 1.4);
    else if (event.key === "0") put([...full]);
    else return;
    event.preventDefault();
  };
  new ResizeObserver(() => put(box)).observe(svg);
  return { zoom, whole: () => put([...full]), key };
}

const sheets = all(".sheet"), stages = new Map();
let shown = null;
function showSheet(sheet) {
  if (!sheet || sheet === shown) return;
  shown = sheet;
  for (const other of sheets) other.classList.toggle("on", other === sheet);
  for (const tab of all("#tabs button")) {
    const on = tab.getAttribute("aria-controls") === sheet.id;
    tab.setAttribute("aria-selected", on);
    tab.tabIndex = on ? 0 : -1;
  }
  if (!stages.has(sheet)) stages.set(sheet, stageOf(one("svg.nest", sheet)));
}
function showSheetOf(part) {
  const has = sheet => one(`.piece[data-p="${part}"]`, sheet);
  if (shown && !has(shown)) showSheet(sheets.find(has));
}
if (sheets.length) {
  const tabs = one("#tabs"), under = one("#under");
  const size = sheet => one("svg.nest", sheet).getAttribute("viewBox").split(" ").map(Number);
  const longest = Math.max(...sheets.map(sheet => size(sheet)[2]));
  for (const [i, sheet] of sheets.entries()) {
    const tab = document.createElement("button");
    const [x, y, wide, high] = size(sheet);
    tab.type = "button";
    tab.setAttribute("role", "tab");
    tab.setAttribute("aria-controls", sheet.id);
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    svg.setAttribute("viewBox", `${x} ${y} ${wide} ${high}`);
    svg.setAttribute("width", Math.round(112 * wide / longest));
    svg.setAttribute("height", Math.round(112 * high / longest));
    svg.setAttribute("aria-hidden", "true");
    const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
    use.setAttribute("href", `#g${i}`);
    svg.append(use);
    const note = document.createElement("small");
    note.textContent = sheet.dataset.note;
    tab.append(svg, sheet.dataset.name, note);
    tab.onclick = () => showSheet(sheet);
    tabs.append(tab);
    sheet.setAttribute("role", "tabpanel");
    sheet.setAttribute("aria-label", sheet.dataset.name);
    const stage = one(".stage", sheet);
    stage.tabIndex = 0;
    stage.setAttribute("aria-label", stage.getAttribute("aria-label") + ". Plus and minus zoom, 0 shows all of it, arrow keys move it.");
    stage.addEventListener("keydown", event => stages.get(sheet)?.key(event));
  }
  tabs.addEventListener("keydown", event => {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!by) return;
    showSheet(sheets[(sheets.indexOf(shown) + by + sheets.length) % sheets.length]);
    one("[aria-selected=true]", tabs).focus();
    event.preventDefault();
  });
  tabs.hidden = under.hidden = false;
  one("#whole").onclick = () => stages.get(shown).whole();
  one("#out").onclick = () => stages.get(shown).zoom(1 / 1.5);
  one("#in").onclick = () => stages.get(shown).zoom(1.5);
  showSheet(sheets[0]);
}
