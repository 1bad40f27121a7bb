// A picture looked at more closely: Ctrl and the wheel, two fingers, + and -, 0 and a double click; what
// is larger than its frame is dragged or moved with the arrow keys. The plain wheel scrolls the page.
import { el } from "./words.mjs";

const MOST = 16;

// What is shown outlives the picture, which is drawn anew when the layout changes.
export function closer(kept) {
  let view = null, whole = null, told = null;
  const at = kept || { zoom: 1, x: 0.5, y: 0.5 };
  const inside = () => {
    const half = 0.5 / at.zoom;
    at.x = Math.min(1 - half, Math.max(half, at.x));
    at.y = Math.min(1 - half, Math.max(half, at.y));
  };
  function draw() {
    inside();
    const [x, y, w, h] = whole, [wide, high] = [w / at.zoom, h / at.zoom];
    view.setAttribute("viewBox", `${x + at.x * w - wide / 2} ${y + at.y * h - high / 2} ${wide} ${high}`);
    view.classList.toggle("near", at.zoom > 1);
    view.dataset.zoom = at.zoom.toFixed(2);
    if (told) told.textContent = at.zoom > 1 ? `enlarged ${at.zoom.toFixed(1)}×` : "";
  }
  // Zooms so that a place of the frame, from 0 to 1, stays where it is.
  function zoom(by, px = 0.5, py = 0.5) {
    const next = Math.min(MOST, Math.max(1, at.zoom * by));
    at.x += (px - 0.5) * (1 / at.zoom - 1 / next);
    at.y += (py - 0.5) * (1 / at.zoom - 1 / next);
    at.zoom = next;
    draw();
  }
  const move = (x, y) => { at.x += x / at.zoom; at.y += y / at.zoom; draw(); };
  const home = () => { Object.assign(at, { zoom: 1, x: 0.5, y: 0.5 }); draw(); };
  const place = event => { const box = view.getBoundingClientRect(); return [(event.clientX - box.x) / box.width, (event.clientY - box.y) / box.height]; };

  // Fingers and the mouse: one drags what is zoomed in, two pinch and drag.
  const held = new Map();
  const spread = () => { const [a, b] = [...held.values()]; return [Math.hypot(a[0] - b[0], a[1] - b[1]), (a[0] + b[0]) / 2, (a[1] + b[1]) / 2]; };
  function down(event) {
    held.set(event.pointerId, place(event));
    if (held.size > 1 || at.zoom > 1) view.setPointerCapture(event.pointerId);
  }
  function drag(event) {
    const before = held.get(event.pointerId);
    if (!before) return;
    const now = place(event);
    if (held.size === 2) {
      const [wide, x, y] = spread();
      held.set(event.pointerId, now);
      const [then, tox, toy] = spread();
      if (wide > 0.01) zoom(then / wide, x, y);
      move(x - tox, y - toy);
    } else if (at.zoom > 1) {
      held.set(event.pointerId, now);
      move(before[0] - now[0], before[1] - now[1]);
    }
  }
  const up = event => held.delete(event.pointerId);

  return {
    // Takes up a picture, of which the whole is what it shows now.
    take(picture) {
      view = picture;
      whole = view.getAttribute("viewBox").split(" ").map(Number);
      held.clear();
      view.tabIndex = 0;
      view.addEventListener("wheel", event => {
        if (!event.ctrlKey && !event.metaKey) return;
        event.preventDefault();
        zoom(Math.exp(-event.deltaY * 0.004), ...place(event));
      }, { passive: false });
      view.addEventListener("pointerdown", down);
      view.addEventListener("pointermove", drag);
      for (const kind of ["pointerup", "pointercancel"]) view.addEventListener(kind, up);
      view.addEventListener("dblclick", event => { if (at.zoom > 1) home(); else zoom(3, ...place(event)); });
      view.addEventListener("keydown", event => {
        const does = {
          "+": () => zoom(1.5), "=": () => zoom(1.5), "-": () => zoom(1 / 1.5), 0: home,
          ArrowLeft: () => move(-0.1, 0), ArrowRight: () => move(0.1, 0), ArrowUp: () => move(0, -0.1), ArrowDown: () => move(0, 0.1),
        }[event.key];
        if (!does || event.ctrlKey || event.metaKey || (event.key.startsWith("Arrow") && at.zoom === 1)) return;
        event.preventDefault();
        does();
      });
      draw();
    },
    // The same as buttons, for who has neither wheel nor keys.
    buttons() {
      told = el("span", { role: "status" });
      const button = (words, does) => el("button", { type: "button", class: "word", onclick: does }, words);
      const all = el("div", { class: "closer" }, told, button("Whole sheet", home), button("Zoom out", () => zoom(1 / 1.5)), button("Zoom in", () => zoom(1.5)));
      if (view) draw();
      return all;
    },
    home: () => { if (view) home(); else Object.assign(at, { zoom: 1, x: 0.5, y: 0.5 }); },
  };
}
