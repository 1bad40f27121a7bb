// The job as text: for whoever prefers it, and to put right what cannot be read.
import { get } from "./ask.mjs";
import { el, loose } from "./words.mjs";

export function jobText(page, main, broken, line = 0) {
  let was = "", first = line;
  const field = el("textarea", { spellcheck: "false", "aria-label": "Text of the job", wrap: "off", rows: 30 });
  const found = el("div", { class: "general" });
  const take = el("button", { type: "button", class: "main" }, "Save this text");
  const lead = broken ? "The job cannot be read. What is wrong is listed here, with its line: correct it and save the text." : "The file as it is. Only what you change here is changed in the file.";
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "Text"), el("p", { class: "lead" }, lead), found, field, el("div", { class: "search" }, take)));

  // Goes to a line of the text.
  function to([line]) {
    const before = field.value.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    const end = field.value.indexOf("\n", before);
    field.focus();
    field.setSelectionRange(before, end < 0 ? field.value.length : end);
    field.scrollTop = Math.max(0, (line - 6) * field.scrollHeight / field.value.split("\n").length);
  }
  function list() {
    found.replaceChildren(...page.job.findings.map(of => el("div", {}, loose(of, page.job.read_only ? null : page.put, "text"), of.place ? el("button", { type: "button", onclick: () => to(of.place) }, `Line ${of.place[0]}`) : "")));
  }
  async function fill() {
    list();
    const { text } = await get("/text");
    if (field.value === was) field.value = text;
    was = text;
    if (first) to([first]);
    first = 0;
  }
  take.disabled = page.job.read_only;
  take.onclick = async () => {
    const unread = page.job.unread;
    try {
      await page.edit({ do: "text", text: field.value, was });
      was = field.value;
      page.tell(page.job.unread ? "Saved; the job cannot be read yet." : "Saved.");
      if (unread && !page.job.unread) page.go("#/parts"); else list();
    } catch (why) { page.tell(why.message); if (why.outside) { field.value = was; await fill(); } }
  };
  fill();
  return { changed: fill };
}
