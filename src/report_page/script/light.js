const one = (what, within = document) => within.querySelector(what);
const all = (what, within = document) => [...within.querySelectorAll(what)];
document.documentElement.classList.add("js");

// Light or dark: as the system has it, or as chosen.
const theme = one("#theme");
const root = document.documentElement;
const isDark = () => root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
const nameTheme = () => { theme.textContent = isDark() ? "Light theme" : "Dark theme"; };
theme.hidden = false;
theme.onclick = () => { root.dataset.theme = isDark() ? "light" : "dark"; nameTheme(); };
nameTheme();

// Everything that stands for a part, by its number.
const marks = new Map();
for (const mark of all("[data-p]")) {
  if (!marks.has(mark.dataset.p)) marks.set(mark.dataset.p, []);
  marks.get(mark.dataset.p).push(mark);
}
let lit = null, pinned = null;
function light(part) {
  if (part === lit) return;
  for (const mark of marks.get(lit) || []) mark.classList.remove("lit");
  for (const mark of marks.get(part) || []) mark.classList.add("lit");
  lit = part;
  const where = one("#where");
  if (!where) return;
  if (part === null) { where.textContent = ""; return; }
  const row = one(`.parts tr[data-p="${part}"]`);
  const on = all(".sheet").map(sheet => [all(`.piece[data-p="${part}"]`, sheet).length, sheet.dataset.name]);
  const words = on.filter(([count]) => count).map(([count, name]) => `${count} on ${name}`);
  where.textContent = `${one("a", row).textContent}: ${words.join(", ") || "on no sheet"}`;
}
const partAt = event => event.target.closest ? event.target.closest("[data-p]") : null;
for (const area of all("#sheets .left, .parts")) {
  area.addEventListener("pointerover", event => { const mark = partAt(event); light(mark ? mark.dataset.p : pinned); });
  area.addEventListener("pointerleave", () => light(pinned));
}
const parts = one(".parts");
if (parts) {
  parts.addEventListener("focusin", event => { const mark = partAt(event); if (mark) light(mark.dataset.p); });
  parts.addEventListener("focusout", () => light(pinned));
  parts.addEventListener("click", event => {
    const row = event.target.closest("tbody tr");
    if (!row || event.target.closest("a")) return;
    pinned = pinned === row.dataset.p ? null : row.dataset.p;
    light(pinned);
    if (pinned !== null) showSheetOf(pinned);
  });
}
