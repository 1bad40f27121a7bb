// A new part: the recipes as pictures, each with its sentence.
import { get } from "./ask.mjs";
import { el, mini } from "./words.mjs";

export function fresh(page, main) {
  const list = el("div", { class: "recipes" });
  main.replaceChildren(el("div", { class: "view" }, el("h2", { tabindex: -1 }, "New part"), el("p", { class: "lead" }, "It starts with the default values of its recipe; change them afterwards."), list));
  const take = async name => {
    try {
      const answered = await page.edit({ do: "new", recipe: name });
      page.go(answered.part ? `#/part/${encodeURIComponent(answered.part.name)}` : "#/parts");
    } catch (why) { page.tell(why.message); }
  };
  get("/recipes").then(all => list.replaceChildren(...all.map(of => el("button", { type: "button", onclick: () => take(of.name) }, mini(of), el("b", {}, of.name), el("span", {}, of.about)))), why => page.tell(why.message));
  return {};
}
