// Patches in space drawn as they are seen: areas in seven tones, hidden lines left out. Drag or the
// arrow keys turn them, + and - zoom, 0 sets back, page keys step through the bends.
import { el } from "./words.mjs";

const camera = (yaw, pitch) => {
  const cy = Math.cos(yaw), sy = Math.sin(yaw), cp = Math.cos(pitch), sp = Math.sin(pitch);
  // x to the right, y up on the paper, z towards the eye
  return [[cy, sy, 0], [-sy * sp, cy * sp, cp], [sy * cp, -cy * cp, sp]];
};
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const LIGHT = [-0.365, 0.574, 0.733];

// Which patch is seen at each pixel, and how near.
function depths(shape, cam, to, W, H) {
  const near = new Float32Array(W * H).fill(-1e9), id = new Int32Array(W * H).fill(-1);
  const front = shape.patches.map(patch => dot(cam[2], patch.normal));
  shape.patches.forEach((patch, index) => {
    if (front[index] <= 1e-3) return;
    const rings = patch.rings.map(ring => ring.map(to));
    if (!rings.length) return;
    const [x0, y0, z0] = rings[0][0];
    const gx = -dot(cam[0], patch.normal) / front[index], gy = dot(cam[1], patch.normal) / front[index];
    let low = Infinity, high = -Infinity;
    for (const ring of rings) for (const point of ring) { low = Math.min(low, point[1]); high = Math.max(high, point[1]); }
    for (let y = Math.max(0, Math.ceil(low - 0.5)); y <= Math.min(H - 1, Math.floor(high - 0.5)); y++) {
      const middle = y + 0.5, met = [];
      for (const ring of rings) for (let i = 0; i < ring.length; i++) {
        const a = ring[i], b = ring[(i + 1) % ring.length];
        if ((a[1] <= middle) !== (b[1] <= middle)) met.push(a[0] + (middle - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
      }
      met.sort((a, b) => a - b);
      for (let k = 0; k + 1 < met.length; k += 2) {
        const last = Math.min(W - 1, Math.floor(met[k + 1] - 0.5));
        for (let x = Math.max(0, Math.ceil(met[k] - 0.5)); x <= last; x++) {
          const z = z0 + gx * (x + 0.5 - x0) + gy * (middle - y0), at = y * W + x;
          if (z > near[at]) { near[at] = z; id[at] = index; }
        }
      }
    }
  });
  return { near, id, front, W, H };
}

// Arrows of what acts, and the section that governs: over everything, so that both are always seen.
function mark(pen, marks, to, reach, inks) {
  const tip = (from, end) => {
    const long = Math.hypot(end[0] - from[0], end[1] - from[1]);
    // Straight towards the eye or away from it.
    if (long < 6) { pen.beginPath(); pen.arc(end[0], end[1], 6, 0, 7); pen.moveTo(end[0] + 1.5, end[1]); pen.arc(end[0], end[1], 1.5, 0, 7); pen.stroke(); return; }
    const [x, y] = [(end[0] - from[0]) / long, (end[1] - from[1]) / long];
    pen.beginPath();
    pen.moveTo(from[0], from[1]);
    pen.lineTo(end[0] - 9 * x, end[1] - 9 * y);
    pen.stroke();
    pen.beginPath();
    pen.moveTo(end[0], end[1]);
    pen.lineTo(end[0] - 12 * x + 4 * y, end[1] - 12 * y - 4 * x);
    pen.lineTo(end[0] - 12 * x - 4 * y, end[1] - 12 * y + 4 * x);
    pen.closePath();
    pen.fill();
  };
  const twice = draw => {
    for (const [ink, wide] of [[inks.paper, 7], [inks.accent, 3]]) {
      pen.strokeStyle = pen.fillStyle = ink;
      pen.lineWidth = wide;
      draw();
    }
  };
  if (marks.section) twice(() => {
    const [a, b] = marks.section.map(to);
    pen.beginPath();
    if (Math.hypot(a[0] - b[0], a[1] - b[1]) < 2) pen.arc(a[0], a[1], 9, 0, 7);
    else { pen.moveTo(a[0], a[1]); pen.lineTo(b[0], b[1]); }
    pen.stroke();
  });
  const long = 0.5 * reach;
  // From what carries it to where it acts.
  pen.strokeStyle = inks.accent;
  pen.lineWidth = 0.8;
  pen.beginPath();
  (marks.at || []).forEach((at, i) => { pen.moveTo(...to(marks.feet[i]).slice(0, 2)); pen.lineTo(...to(at).slice(0, 2)); });
  pen.stroke();
  for (const at of marks.at || []) for (const way of marks.ways || []) {
    const end = at.map((v, i) => v + way[i] * long * (marks.pushes ? -1 : 1));
    const [from, head] = marks.pushes ? [end, at] : [at, end];
    twice(() => tip(to(from), to(head)));
  }
}

// The pieces of edges that nothing hides: from, to, kind.
function lines(shape, view, to, step = 1.2, slack = 1.4) {
  const { near, front, W, H } = view, out = [];
  const seenAt = (x, y, z) => {
    const cx = Math.floor(x), cy = Math.floor(y);
    for (let yy = cy - 1; yy <= cy + 1; yy++) for (let xx = cx - 1; xx <= cx + 1; xx++) {
      if (xx < 0 || yy < 0 || xx >= W || yy >= H || near[yy * W + xx] <= z + slack) return true;
    }
    return false;
  };
  for (const edge of shape.edges) {
    const faces = edge.of.map(i => front[i] > 1e-3);
    if (!faces.some(Boolean)) continue;
    let kind = edge.kind;
    if (kind !== "edge" && faces.length === 2 && faces[0] !== faces[1]) kind = "edge";
    if (kind === "turning") continue;
    const a = to(edge.ends[0]), b = to(edge.ends[1]), long = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (long < 0.01) continue;
    const n = Math.max(1, Math.ceil(long / step));
    const at = k => a.map((v, i) => v + (b[i] - v) * k);
    let from = null, last = null;
    for (let i = 0; i <= n; i++) {
      const seen = seenAt(...at(i / n));
      if (seen) { from ??= i / n; last = i / n; }
      if ((!seen || i === n) && from !== null) {
        if (last > from || n === 1) out.push([at(from), at(last), kind]);
        from = null;
      }
    }
  }
  return out;
}

const tone = (cam, normal) => {
  const light = Math.max(0, dot([dot(cam[0], normal), dot(cam[1], normal), dot(cam[2], normal)], LIGHT));
  return Math.max(0, Math.min(6, Math.round((1 - light) * 6.5)));
};

export function turntable(box, name, stepped) {
  const canvas = el("canvas", { "aria-hidden": "true" }), off = document.createElement("canvas");
  box.replaceChildren(canvas);
  box.tabIndex = 0;
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", `${name}, formed part`);
  const home = { yaw: -0.6, pitch: 0.5, zoom: 1 };
  let view = { ...home }, shape = null, marks = null, inks = null, queued = false, bends = 0, made = 0, tooled = "", centre = [0, 0, 0], reach = 1;

  function ink() {
    const style = getComputedStyle(document.documentElement), of = key => style.getPropertyValue(key).trim();
    const rgb = hex => [1, 3, 5].map(i => parseInt(hex.slice(i, i + 2), 16));
    inks = { ink: of("--ink"), paper: of("--paper"), accent: of("--accent"), tones: [0, 1, 2, 3, 4, 5, 6].map(i => rgb(of(`--s${i}`))) };
  }
  function say() {
    const done = bends ? `${Math.round(made * 10) / 10} of ${bends} bends made, ` : "";
    const degrees = x => Math.round(x * 180 / Math.PI);
    const acts = marks ? `${marks.words}, ` : "";
    box.setAttribute("aria-label", `${name}, formed part, ${acts}${done}${tooled}rotated ${degrees(view.yaw)}°, tilted ${degrees(view.pitch)}°. Arrow keys rotate it, plus and minus zoom, 0 resets the view.`);
  }
  function draw() {
    queued = false;
    const W = box.clientWidth, H = box.clientHeight;
    if (!W || !H || !shape) return;
    if (!inks) ink();
    const dense = Math.min(3, devicePixelRatio || 1);
    canvas.width = Math.round(W * dense);
    canvas.height = Math.round(H * dense);
    const scale = Math.min(W, H) * 0.46 / reach * view.zoom;
    const cam = camera(view.yaw, view.pitch);
    const to = p => {
      const v = [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]];
      return [W / 2 + dot(cam[0], v) * scale, H / 2 - dot(cam[1], v) * scale, dot(cam[2], v) * scale];
    };
    const seen = depths(shape, cam, to, W, H);
    const image = new ImageData(W, H), tones = shape.patches.map(patch => inks.tones[tone(cam, patch.normal)]);
    for (let i = 0; i < W * H; i++) {
      if (seen.id[i] < 0) continue;
      const [r, g, b] = tones[seen.id[i]];
      image.data.set([r, g, b, 255], 4 * i);
    }
    off.width = W;
    off.height = H;
    off.getContext("2d").putImageData(image, 0, 0);
    const pen = canvas.getContext("2d");
    pen.setTransform(dense, 0, 0, dense, 0, 0);
    pen.clearRect(0, 0, W, H);
    pen.drawImage(off, 0, 0);
    pen.lineCap = "round";
    pen.strokeStyle = inks.ink;
    const drawn = lines(shape, seen, to);
    for (const [kind, wide] of [["tangent", 0.8], ["edge", 1.6]]) {
      pen.lineWidth = wide;
      pen.beginPath();
      for (const [a, b, of] of drawn) if (of === kind) { pen.moveTo(a[0], a[1]); pen.lineTo(b[0], b[1]); }
      pen.stroke();
    }
    if (marks) mark(pen, marks, to, reach, inks);
    box.dataset.drawn = drawn.length;
  }
  const later = () => { if (!queued) { queued = true; requestAnimationFrame(draw); } };
  const turn = (yaw, pitch) => {
    view.yaw += yaw;
    view.pitch = Math.max(-1.55, Math.min(1.55, view.pitch + pitch));
    say();
    later();
  };
  let held = null;
  box.addEventListener("pointerdown", event => { held = [event.clientX, event.clientY]; box.setPointerCapture(event.pointerId); });
  box.addEventListener("pointermove", event => {
    if (!held) return;
    turn(-(event.clientX - held[0]) * 0.01, (event.clientY - held[1]) * 0.01);
    held = [event.clientX, event.clientY];
  });
  for (const kind of ["pointerup", "pointercancel"]) box.addEventListener(kind, () => { held = null; });
  box.addEventListener("keydown", event => {
    const by = Math.PI / 24;
    const does = {
      ArrowLeft: () => turn(by, 0), ArrowRight: () => turn(-by, 0), ArrowUp: () => turn(0, -by), ArrowDown: () => turn(0, by),
      "+": () => { view.zoom = Math.min(6, view.zoom * 1.2); later(); }, "-": () => { view.zoom = Math.max(0.5, view.zoom / 1.2); later(); },
      0: () => { view = { ...home }; say(); later(); }, PageDown: () => stepped(1), PageUp: () => stepped(-1),
    }[event.key];
    if (!does || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    does();
  });
  const grown = new ResizeObserver(later);
  grown.observe(box);
  return {
    show(patches, count, done, marked = null) {
      shape = patches;
      marks = marked;
      bends = count;
      made = done;
      const all = [...shape.patches.flatMap(patch => patch.rings.flat()), ...marks?.at || []];
      const low = [0, 1, 2].map(i => Math.min(...all.map(p => p[i]))), high = [0, 1, 2].map(i => Math.max(...all.map(p => p[i])));
      centre = low.map((v, i) => (v + high[i]) / 2);
      reach = Math.max(1, ...all.map(p => Math.hypot(p[0] - centre[0], p[1] - centre[1], p[2] - centre[2])));
      // An arrow needs its room.
      if (marks?.at?.length) reach *= 1.15;
      say();
      later();
    },
    // Says with which tool the last bend was made.
    tool(words) { tooled = words ? `${words}, ` : ""; say(); },
    inked: () => { inks = null; later(); },
    leave: () => grown.disconnect(),
  };
}
