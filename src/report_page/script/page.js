
// A hole or a bend and its row light each other.
for (const card of all(".card")) {
  const show = event => {
    const target = event.target;
    const row = event.type !== "pointerleave" && target.closest ? target.closest(".holes tbody tr") : null;
    const mark = row ? one("[data-h]", row) : target.closest && event.type !== "pointerleave" ? target.closest("[data-h]") : null;
    for (const other of all(".on", card)) other.classList.remove("on");
    if (!mark) return;
    for (const other of all(`[data-h="${mark.dataset.h}"]`, card)) (other.closest("tr") || other).classList.add("on");
  };
  card.addEventListener("pointerover", show);
  card.addEventListener("pointerleave", show);
}

for (const button of all("button[data-copy]")) {
  const text = document.getElementById(button.dataset.copy);
  button.hidden = false;
  button.onclick = async () => {
    try {
      await navigator.clipboard.writeText(text.textContent);
      button.textContent = "Copied";
    } catch {
      const range = document.createRange();
      range.selectNodeContents(text);
      getSelection().removeAllRanges();
      getSelection().addRange(range);
      button.textContent = "Selected: press Ctrl+C";
    }
    setTimeout(() => { button.textContent = "Copy"; }, 2500);
  };
}
