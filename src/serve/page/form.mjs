// The form of a part: a cell for each field, which says what is wrong at the field that caused it.
import { post } from "./ask.mjs";
import { el, loose, worded } from "./words.mjs";

// The quantity and the sheet as fields like the inputs.
function fieldsOf(of) {
  if (of.fields) return of.fields.map(field => ({ ...field, aside: "" }));
  const pieces = of.quantity.pieces !== null && of.quantity.pieces !== of.quantity.sets ? `${of.quantity.pieces} pieces` : "";
  const { sheet } = of;
  return [
    { key: "quantity", kind: "count", given: of.quantity.given, value: String(of.quantity.sets), aside: pieces, about: "exact, no spares included", options: [] },
    { key: "sheet", kind: "choice", given: sheet.given, value: sheet.name, aside: sheet.material ?? "", about: sheet.thickness ? `${sheet.thickness} thick` : "no sheet passes all checks yet", options: sheet.all.map(name => [name, name]), open: sheet.open },
    ...of.inputs.map(input => ({ ...input, aside: "" })),
  ];
}

// What a field is called: a key of a recipe as it is said, not as it is written.
const calledOf = field => field.called ?? field.key.replace(/_/g, " ");

function limits(field) {
  const said = [field.min && `min ${field.min}`, field.max && `max ${field.max}`].filter(Boolean);
  return said.join(", ");
}

// A default that is worked out from other values; while the part is not drawn it has no value to show.
const isWorked = field => /[()*+?<>=]|\s[-/]\s|^[a-z_]+(\.[a-z_]+)?$/i.test(field.default ?? "") && !["choice", "flag", "row"].includes(field.kind);
const worthOf = field => field.value ?? (isWorked(field) ? "follows from other values" : field.default) ?? null;

// What stands in a field that nothing was typed into.
function usualOf(field) {
  const usual = worthOf(field);
  if (field.instead) return "not used";
  if (field.elsewhere) return usual ?? "";
  return usual === "" ? "left out" : `${usual ?? "choose"} (default)`;
}

export function form(page, box, part) {
  const cells = new Map();
  let editable = true;
  // The stops of what the file has.
  let stops = new Set();

  function edit(field, value) {
    if (part.edit) return part.edit(field, value === "" ? null : value);
    return { do: "set", part: part.name, key: field.key, value: value === "" ? null : value, was: field.given ?? null };
  }

  function cell(field) {
    const id = `field-${field.key}`;
    const made = { field, dirty: false };
    // Of some fields the rows are only proposed.
    const free = field.kind === "free" || field.kind === "names", choice = field.options.length > 0 && !free;
    made.input = choice ? el("select", { id }) : el("input", { id, type: "text", inputmode: field.kind === "count" ? "numeric" : "text", autocomplete: "off", spellcheck: "false" });
    made.input.dataset.key = field.key;
    made.input.setAttribute("aria-describedby", `${id}-about ${id}-found`);
    made.aside = el("span", { class: "aside" });
    made.back = el("button", { type: "button", class: "back-to", onclick: () => take(made, "") }, "Default");
    made.about = el("p", { class: "about", id: `${id}-about` });
    made.found = el("div", { class: "found", id: `${id}-found`, role: "status" });
    made.open = el("output", { class: "open", for: id });
    made.box = el("div", { class: field.kind === "names" || field.given?.includes(", ") ? "cell long" : "cell", "data-cell": field.key },
      el("label", { for: id }, el("b", {}, calledOf(field)), made.aside), made.input, made.open, made.about, made.back, made.found);
    if (field.kind === "free") {
      made.input.setAttribute("list", `${id}-rows`);
      made.box.append(el("datalist", { id: `${id}-rows` }));
    }
    // Several names in one field, by commas: one more is chosen.
    if (field.kind === "names") {
      made.more = el("select", { class: "more", "aria-label": `${calledOf(field)}: add one` });
      made.more.onchange = () => { made.input.value = [made.input.value.trim(), made.more.value].filter(Boolean).join(", "); take(made, made.input.value); };
      made.input.after(made.more);
    }
    if (choice) made.input.onchange = () => take(made, made.input.value);
    else {
      let wait = 0;
      made.input.oninput = () => {
        const was = made.dirty;
        made.dirty = made.input.value !== (made.field.given ?? "");
        made.refused = null;
        made.isTrial = false;
        clearTimeout(wait);
        if (!made.dirty) made.clash = false;
        // Back at what the file has: nothing that was tried remains.
        if (was && !made.dirty) part.took(null);
        else wait = setTimeout(() => attempt(made), 60);
      };
      // Whoever goes on to a button of the cell has not left it.
      made.box.addEventListener("focusout", event => {
        if (made.box.contains(event.relatedTarget)) return;
        clearTimeout(wait);
        if (made.dirty && !made.clash) take(made, made.input.value.trim());
      });
      made.input.onkeydown = event => {
        if (event.key === "Escape") { clearTimeout(wait); made.input.value = made.field.given ?? ""; made.dirty = false; made.refused = null; made.clash = false; part.took(null); }
        else if (event.key === "Enter") { event.preventDefault(); next(made); }
        else if (event.key === "Tab" && made.dirty && !made.clash) { clearTimeout(wait); take(made, made.input.value.trim()); }
      };
    }
    return made;
  }

  // What is typed so far is drawn, not written: one text at a time, the last one next.
  let trying = false, wanted = null;
  async function attempt(made) {
    wanted = made;
    if (trying) return;
    trying = true;
    while (wanted) {
      const of = wanted;
      wanted = null;
      await attempted(of);
    }
    trying = false;
  }
  async function attempted(made) {
    const typed = made.input.value.trim();
    if (!made.dirty || made.field.key === "quantity" || /[,;]\s*$/.test(typed)) return;
    const change = edit(made.field, typed);
    clearTimeout(rest);
    try {
      const of = await part.tried(change, true);
      if (of && made.dirty) { made.judged = typed; found(of); }
      // Bends and loads are looked at once nothing more is typed for a moment.
      if ((of?.checking || of?.waits) && made.dirty) rest = setTimeout(() => wholly(made, typed, change), 200);
    } catch (why) { if (made.dirty && !isRefused(made)) { made.judged = typed; said(made, why.message); } }
  }
  let rest = 0;
  async function wholly(made, typed, change) {
    const still = () => made.dirty && made.input.value.trim() === typed;
    if (!still()) return;
    try {
      const of = await part.tried(change, false);
      if (of && still()) found(of);
    } catch (why) { if (still() && !isRefused(made)) said(made, why.message); }
  }

  // One change after the other: each begins with what the one before left.
  let last = Promise.resolve();
  const take = (made, value) => {
    // Whoever leaves a field by a key leaves it once.
    if (made.sent === value) return last;
    made.sent = value;
    last = last.catch(() => {}).then(() => taken(made, value)).finally(() => { if (made.sent === value) made.sent = null; });
    return last;
  };

  async function taken(made, value, again) {
    // Whatever is typed meanwhile is no part of this change, and stays.
    const typed = made.input.value;
    const done = () => { if (made.input.value === typed) { made.dirty = false; made.refused = null; } };
    if (value === (made.field.given ?? "")) {
      const was = made.dirty;
      made.clash = false;
      done();
      if (was) part.took(null);
      return;
    }
    if (page.job.read_only) { await only(made, value); return; }
    try {
      const answered = await page.edit(edit(made.field, value), part.room?.());
      done();
      part.took(answered.entry ?? answered.part);
    } catch (why) {
      if (!why.outside) refuse(made, value, why.message);
      else if (!again && performance.now() <= page.stepped) {
        // What was undone from here a moment ago is on its way to the field.
        part.took(null);
        await new Promise(done => setTimeout(done, 400));
        await taken(made, value, true);
      } else {
        // What is typed stays, and so does what the file has, until one of them is chosen.
        if (made.input.matches("select")) done(); else made.clash = made.dirty;
        page.tell(why.message);
        part.took(null);
      }
    }
  }

  // The file has another value by now than the one that is typed over: both are shown until one is chosen.
  function choose(made) {
    const there = made.field.given ?? null, typed = made.input.value.trim();
    const settle = act => { made.clash = false; act(); };
    const mine = el("button", { type: "button", class: "fix", onclick: () => settle(() => take(made, made.input.value.trim())) }, typed ? `Save ${typed}` : "Save the default");
    const theirs = el("button", { type: "button", class: "fix", onclick: () => settle(() => { made.dirty = false; made.refused = null; made.input.focus(); fill(made); part.took(null); }) }, there === null ? "Use the default" : `Use ${there}`);
    made.box.classList.add("doubtful");
    made.found.prepend(el("div", { class: "clash", role: "alert" }, el("p", { class: "note" }, `Not saved: the file was changed meanwhile and ${there === null ? "has no value here now" : `now has ${there}`}. Which one is right?`), el("div", { class: "fixes" }, mine, theirs)));
    page.yieldTo(made.box);
  }

  // A value that was refused stays in its field, marked as not taken with the reason, until it is changed.
  function refuse(made, value, words) {
    if (made.input.value.trim() !== value) return;
    // What is said of another text does not stay.
    if (made.judged !== value || !made.found.querySelector(".fix")) said(made, words);
    made.refused = { value, notes: [...made.found.childNodes].filter(note => !note.matches(".untaken")) };
    keep(made);
  }
  function keep(made) {
    const there = made.field.given ?? null;
    made.box.classList.add("wrong");
    made.found.replaceChildren(el("p", { class: "note untaken" }, there === null ? "Not saved: the file has no value here." : `Not saved: the file still has ${there}.`), ...made.refused.notes);
  }
  const isRefused = made => Boolean(made?.refused) && made.input.value.trim() === made.refused.value;

  // On a page that only reads a value is tried, one at a time, and not written.
  async function only(made, value) {
    for (const other of cells.values()) if (other !== made && other.dirty) { other.dirty = false; fill(other); }
    made.input.value = value;
    made.dirty = true;
    made.isTrial = true;
    await attempt(made);
    trials();
  }
  // Whatever is found meanwhile, it is said that a value was only tried.
  function trials() {
    for (const made of cells.values()) {
      if (made.isTrial && made.dirty && !made.found.querySelector(".trial")) made.found.append(el("p", { class: "note trial" }, "Tried, not saved: this page is read-only."));
    }
  }

  function next(made) {
    const all = [...box.querySelectorAll("input, select")].filter(of => !of.disabled);
    const after = all[all.indexOf(made.input) + 1];
    if (after) after.focus(); else made.input.blur();
  }

  function said(made, words) {
    made.box.classList.add("wrong");
    const instead = editable && words.match(/type `([^`]+)`/)?.[1];
    made.found.replaceChildren(el("p", { class: "finding stop" }, ...worded(words)));
    if (instead) offer(made, instead, made.found.firstElementChild);
  }
  // A value that a refusal names has a button once it was tried and is not stopped itself.
  async function offer(made, instead, why) {
    try {
      const of = await post("/try", { edit: edit(made.field, instead) });
      // A job that cannot be read then, or another stop than there was, is no remedy.
      const isWorse = one => one.weight === "stop" && (one.field === made.field.key || !stops.has(one.headline));
      if (!of || of.findings?.some(isWorse)) return;
    } catch { return; }
    if (!why.isConnected) return;
    const button = el("div", { class: "fixes" }, el("button", { type: "button", class: "fix", onclick: () => fix(made.field.key, instead) }, `Use ${instead}`));
    made.found.append(button);
    made.refused?.notes.push(button);
  }

  // Puts a value into a field, which has the hand again then.
  function fix(key, value) {
    const made = cells.get(key);
    if (!made) return;
    made.input.value = value;
    made.input.focus();
    made.dirty = true;
    take(made, value);
  }

  // What is found, each at its field; what belongs to none stands first.
  function found(of) {
    for (const made of cells.values()) {
      made.box.classList.remove("wrong", "doubtful");
      made.found.replaceChildren();
      if (isRefused(made)) keep(made); else made.refused = null;
    }
    const rest = [];
    // A button is for a field that is here.
    for (const one of of.findings) one.fixes = one.fixes.filter(([key]) => cells.has(key));
    for (const one of of.findings) {
      const made = cells.get(one.field);
      // A finding on the value of the file is not one on a text that was refused.
      if (!made || isRefused(made)) { rest.push(one); continue; }
      made.box.classList.add(one.weight === "stop" ? "wrong" : "doubtful");
      made.found.append(part.finding(one, editable ? fix : null));
    }
    for (const made of cells.values()) if (made.clash) choose(made);
    trials();
    general.replaceChildren(...rest.map(one => one.fixes.length ? part.finding(one, editable ? fix : null) : loose(one, editable && !page.job.read_only ? page.put : null)));
    general.hidden = !rest.length;
  }
  const general = el("div", { class: "cell general", hidden: true });
  const more = el("div", { class: "cell group adding", hidden: true });

  function fill(made) {
    const { field } = made, given = field.given ?? null;
    const fixed = !editable || field.elsewhere || (page.job.read_only && field.key === "quantity");
    made.box.querySelector("datalist")?.replaceChildren(...field.options.map(([value, label]) => el("option", { value }, label)));
    if (made.more) {
      const has = (given ?? "").split(", ");
      const rest = field.options.filter(([value]) => !has.includes(value));
      made.more.hidden = fixed || !rest.length;
      made.more.replaceChildren(el("option", { value: "" }, "add …"), ...rest.map(([value, label]) => el("option", { value }, label)));
    }
    if (made.input.matches("select")) {
      // The one that stands is read by its name, the others by their measures as well.
      const options = field.options.map(([value, label]) => el("option", { value }, value === given ? value : label));
      if (field.open) options.unshift(el("option", { value: given ?? "" }, field.value ? `${field.value} (chosen)` : "none chosen yet"));
      else if (given === null || !field.options.some(([value]) => value === given)) options.unshift(el("option", { value: given ?? "" }, given ?? usualOf(field)));
      made.input.replaceChildren(...options);
      made.input.value = given ?? "";
    } else if (!made.dirty) {
      made.input.value = given ?? "";
      made.input.defaultValue = made.input.value;
      made.input.placeholder = field.elsewhere || field.open ? (field.value ?? "") : (worthOf(field) ?? "");
    }
    made.input.disabled = Boolean(fixed);
    made.input.classList.toggle("given", given !== null);
    const low = limits(field), usual = given === null && !field.open && !field.elsewhere && field.key !== "sheet";
    const word = field.instead ? `${field.instead} given` : (field.value ?? field.default) === "" ? "left out" : "default";
    made.aside.textContent = field.as ? `as ${field.as}` : field.elsewhere ? field.elsewhere : usual ? [word, field.aside].filter(Boolean).join(", ") : field.aside || low;
    const hint = field.hint ?? field.key;
    made.about.replaceChildren(...worded([field.about, usual && low].filter(Boolean).join("; ")), calledOf(field) === hint ? "" : el("code", { class: "key", title: "its key in the file" }, hint));
    made.back.hidden = fixed || page.job.read_only || given === null || ((field.default ?? null) === null && field.key !== "quantity");
    const { open } = field;
    made.open.hidden = !open;
    if (open) {
      const why = open.lighter ? `; ${open.lighter} is lighter, but: ${open.failed}` : open.chosen ? "; the lightest" : "";
      const words = `Open: ${open.typed.replace(/["[\]]/g, "")}. ${open.chosen ? `*${open.chosen} chosen*${why}` : "No value passes all checks."}`;
      made.open.replaceChildren(...worded(words));
    }
  }

  // What is typed and not saved is not lost by closing the page without a word.
  const isTyping = () => [...cells.values()].some(made => made.dirty && made.input.isConnected);
  page.forms = [...(page.forms ?? []).filter(of => of.box.isConnected), { box, isTyping }];

  return {
    // Lights the field of a key.
    light(key) { for (const [own, made] of cells) made.box.classList.toggle("lit", own === key); },
    // Whether there is a field of a key.
    has: key => cells.has(key),
    // Puts the hand into the field of a key; no where there is none.
    hand(key) {
      const made = cells.get(key);
      if (!made || made.input.disabled) return false;
      made.input.focus();
      made.input.select?.();
      made.box.scrollIntoView({ block: "nearest" });
      return true;
    },
    show(of) {
      editable = of.editable;
      stops = new Set(of.findings.filter(one => one.weight === "stop").map(one => one.headline));
      const fields = fieldsOf(of);
      const keys = fields.map(field => field.key).join(" ");
      if (keys !== [...cells.keys()].join(" ")) {
        cells.clear();
        for (const field of fields) cells.set(field.key, cell(field));
        const groups = fields.map((field, i) => field.group && field.group !== fields[i - 1]?.group ? field.group : null);
        box.replaceChildren(general, ...[...cells.values()].flatMap((made, i) => groups[i] ? [el("h3", { class: "cell group" }, groups[i], el("span", { class: "acts", "data-row": fields[i].row })), made.box] : [made.box]), more);
      }
      // What is done to a row of a list is behind its heading.
      for (const acts of box.querySelectorAll("h3 [data-row]")) acts.replaceChildren(...part.row?.(Number(acts.dataset.row), of) ?? []);
      more.replaceChildren(...part.more?.(of) ?? []);
      more.hidden = !more.firstChild;
      for (const field of fields) {
        const made = cells.get(field.key);
        // What is sent or undone from here is known; any other change of a field that is typed in was made elsewhere.
        if (made.dirty && (made.sent ?? null) === null && performance.now() > page.stepped && (made.field.given ?? null) !== (field.given ?? null)) made.clash = true;
        made.field = field;
        fill(made);
      }
      found(of);
      // What is being typed is tried on what is there now.
      for (const made of cells.values()) if (made.dirty && document.activeElement === made.input) attempt(made);
    },
  };
}
