
// The table of parts sorts and filters.
if (parts) {
  const body = one("tbody", parts), rows = [...body.rows], heads = all("thead th", parts);
  const value = (row, column) => {
    const cell = row.cells[column], text = cell.textContent.trim();
    if (cell.dataset.v !== undefined) return Number(cell.dataset.v);
    return text !== "" && !Number.isNaN(Number(text)) ? Number(text) : text;
  };
  const order = (a, b) => typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b), "en", { numeric: true });
  for (const [column, head] of heads.entries()) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = head.textContent;
    head.replaceChildren(button);
    head.setAttribute("aria-sort", "none");
    button.onclick = () => {
      const way = head.getAttribute("aria-sort") === "ascending" ? -1 : 1;
      for (const other of heads) other.setAttribute("aria-sort", "none");
      head.setAttribute("aria-sort", way > 0 ? "ascending" : "descending");
      rows.sort((a, b) => way * order(value(a, column), value(b, column)));
      body.append(...rows);
    };
  }
  const find = one("#find"), only = one("#only"), count = one("#count");
  const filter = () => {
    const words = find.value.trim().toLowerCase().split(/\s+/), kind = only.value;
    let left = 0, pieces = 0;
    for (const row of rows) {
      const text = `${one("a", row).textContent} ${row.dataset.words} ${row.dataset.sheet}`.toLowerCase();
      const isKind = !kind || (kind.startsWith("sheet:") ? row.dataset.sheet === kind.slice(6) : row.dataset.kinds.split(" ").includes(kind));
      row.hidden = !(isKind && words.every(word => text.includes(word)));
      if (!row.hidden) { left += 1; pieces += Number(row.cells[1].textContent); }
    }
    count.textContent = `${left} of ${rows.length} ${rows.length === 1 ? "part" : "parts"}, ${pieces} ${pieces === 1 ? "piece" : "pieces"}`;
  };
  find.oninput = only.onchange = filter;
  one("#filters").hidden = false;
  filter();
}
