"""report.html in a browser: opens without network, speaks to screen readers, can be read.

Usage: check_page.py FOLDER [PICTURES]: with a second folder, screenshots are put there.
"""

import re
import sys
from pathlib import Path

from browser import ARGUMENTS, COLOURS, browser_path, contrast, luminance
from playwright.sync_api import sync_playwright

passed, failed = 0, []

# Least contrast of text, and of lines that say something: WCAG 2.2, success criteria 1.4.3 and
# 1.4.11.
CONTRAST, LINES = 4.5, 3.0

# Widths at which nothing may overflow the page, px: a phone, a tablet, desks.
WIDTHS = [360, 390, 640, 768, 900, 1100, 1400, 1920]

# Minimum height of a touch target on a phone, px: WCAG 2.2, success criterion 2.5.5.
TOUCH = 44

LANDMARKS = {"banner": "header", "main": "main", "contentinfo": "footer"}

# Words and lines of drawings, and their possible grounds: paper, metal, highlighted areas.
DRAWN = """() => {
  const probe = document.createElement("i");
  document.body.append(probe);
  const colour = name => { probe.style.color = `var(--${name})`; return getComputedStyle(probe).color; };
  const grounds = ["paper", "metal", "lit"].map(colour);
  probe.remove();
  const style = element => getComputedStyle(element);
  const words = [...document.querySelectorAll("svg.dwg text")].map(t => [t.getAttribute("class"), style(t).fill]);
  const lines = [...document.querySelectorAll(".met, .edge, .bend, .mark, .found:not(text)")]
    .map(t => [t.getAttribute("class"), style(t).stroke]);
  const fills = [...document.querySelectorAll("#sheets .met")].map(t => style(t).fill);
  const only = list => [...new Set(list.map(x => JSON.stringify(x)))].map(x => JSON.parse(x));
  return { grounds, words: only(words), lines: only(lines), fills: only(fills) };
}"""

TABLES = """() => [...document.querySelectorAll("table")].map(t => ({
  caption: t.caption ? t.caption.textContent.trim() : "",
  heads: t.querySelectorAll("thead th[scope=col]").length,
  widths: [...new Set([...t.querySelectorAll("tbody tr")].map(r => r.children.length))],
  named: [...t.querySelectorAll("tbody tr")].every(r => r.children[0].matches("th[scope=row]")),
}))"""

IMAGES = """() => Promise.all([...document.images].map(async i => {
  i.loading = "eager";
  await i.decode().catch(() => {});
  return [i.alt, i.naturalWidth];
}))"""

# Everything the keyboard reaches, in the order of the page; of tabs only the chosen one.
STOPS = """[...document.querySelectorAll('a[href], button, input, select, summary, [tabindex="0"]')]
  .filter(e => e.tabIndex >= 0 && e.checkVisibility() && !e.closest('details:not([open]) > :not(summary)'))"""

NAMELESS = """() => [...document.querySelectorAll("button, input, select, [role=region], [role=group], [role=tablist], [role=img], nav, section, article")]
  .filter(e => e.checkVisibility())
  .filter(e => {
    const by = e.getAttribute("aria-labelledby");
    const name = e.getAttribute("aria-label") || (by && document.getElementById(by)?.textContent) || (e.matches("button") && e.textContent);
    return !(name && name.trim());
  }).map(e => e.outerHTML.slice(0, 80))"""

# Tables that are wider than the screen.
HIDDEN = """() => [...document.querySelectorAll(".scroll")]
  .filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1)
  .map(e => (e.querySelector("caption")?.textContent ?? "a table").slice(0, 60))"""

OVER = """() => [...document.querySelectorAll("body *")]
  .filter(e => e.checkVisibility() && !e.closest("svg") && e.getBoundingClientRect().right > innerWidth + 1)
  .filter(e => !e.parentElement.closest(".scroll, #tabs")).map(e => e.outerHTML.slice(0, 90)).slice(0, 3)"""


# What gets the focus from now on: its place in the page, and how often it is seen.
FOCUSED = """() => {
    const places = new Map([...document.querySelectorAll('*')].map((e, i) => [e, i]));
    window.focused = [[], 0];
    document.addEventListener("focusin", event => {
        focused[0].push(places.get(event.target));
        focused[1] += getComputedStyle(event.target).outlineStyle !== "none";
    });
    document.activeElement.blur();
    scrollTo(0, 0);
}"""


def fact(true, words):
    global passed
    if true:
        passed += 1
    else:
        failed.append(words)


def structure(page, name):
    for role, tag in LANDMARKS.items():
        fact(page.get_by_role(role).count() == 1, f"{name}: there is not one {role} ({tag})")
    sections = page.get_by_role("navigation", name="Sections").count()
    fact(sections == 1, f"{name}: there is not one navigation of sections")
    fact(page.locator("html[lang]").count() == 1, f"{name}: it does not say its language")
    fact(page.title() != "", f"{name}: it has no title")
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => +h.tagName[1])")
    fact(levels.count(1) == 1 and levels[0] == 1, f"{name}: there is not one heading above all")
    steps = all(b <= a + 1 for a, b in zip(levels, levels[1:]))
    fact(steps, f"{name}: headings skip a level: {levels}")
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
    fact(len(ids) == len(set(ids)), f"{name}: an id is there twice")
    broken = page.evaluate(
        "[...document.querySelectorAll('[aria-labelledby], [aria-controls], a[href^=\"#\"], use')]"
        ".map(e => e.getAttribute('aria-labelledby') || e.getAttribute('aria-controls') || e.getAttribute('href').slice(1))"
        ".filter(id => !document.getElementById(id))"
    )
    fact(not broken, f"{name}: nothing is called {broken}")
    nameless = page.evaluate(NAMELESS)
    fact(not nameless, f"{name}: without a name: {nameless[:3]}")
    for table in page.evaluate(TABLES):
        fact(table["caption"] != "", f"{name}: a table has no caption")
        whole = table["heads"] > 0 and table["widths"] == [table["heads"]] and table["named"]
        fact(whole, f"{name}: the table {table['caption']!r} lacks heads: {table}")
    for alt, width in page.evaluate(IMAGES):
        fact(alt != "", f"{name}: a picture has no words")
        fact(width > 0, f"{name}: the picture {alt!r} does not show")
    drawn = page.locator("article.card").count()
    flats = page.get_by_role("img", name=re.compile("^Flat of ")).count()
    fact(flats >= drawn, f"{name}: {flats} flats are drawn of {drawn} parts")


def keyboard(page, name):
    """The skip link first, then whatever can be reached, in the order of the page, seen."""
    wanted = page.evaluate(f"{STOPS}.length")
    page.evaluate(FOCUSED)
    for _ in range(wanted):
        page.keyboard.press("Tab")
    places, seen = page.evaluate("focused")
    fact(places == sorted(set(places)), f"{name}: the focus does not follow the page")
    fact(seen == wanted, f"{name}: the focus is seen {seen} times of {wanted}")
    first = page.evaluate("document.querySelector('a[href]').getAttribute('href')")
    fact(first == "#main", f"{name}: the first link does not skip to the report")


def colours(page, name, scheme):
    found = page.evaluate(COLOURS, ["svg, script", False])
    fact(len(found) > 20, f"{name}: only {len(found)} pieces of text")
    for tag, text, ground in found:
        ratio = contrast(text, ground)
        fact(ratio >= CONTRAST, f"{name}, {scheme}: {tag} {text} on {ground} is {ratio:.2f} to 1")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    dark = luminance(ground) < 0.2
    fact(dark == (scheme == "dark"), f"{name}: the ground is {ground} in {scheme}")
    drawn = page.evaluate(DRAWN)
    for kind, least in [("words", CONTRAST), ("lines", LINES)]:
        for what, colour in drawn[kind]:
            for ground in drawn["grounds"]:
                ratio = contrast(colour, ground)
                words = f"{name}, {scheme}: {kind} of {what!r} {colour} on {ground} are {ratio:.2f} to 1"
                fact(ratio >= least, words)
    for fill in drawn["fills"]:
        is_dark = luminance(fill) < 0.2
        fact(is_dark == (scheme == "dark"), f"{name}: metal is {fill} in {scheme}")


def rows(page):
    """The visible rows of the table of parts: name and quantity."""
    return page.evaluate(
        "[...document.querySelectorAll('.parts tbody tr')].filter(r => !r.hidden)"
        ".map(r => [r.querySelector('a').textContent, +r.cells[1].textContent])"
    )


def table(page, name):
    """Sorting by name and by number, up and down; finding a part; the choice of what is shown."""
    everything = rows(page)
    fact(everything, f"{name}: the table of parts shows none")
    if not everything:
        return
    for column, key in [("Qty", lambda row: row[1]), ("Part", lambda row: row[0].lower())]:
        for way in ["ascending", "descending"]:
            head = page.locator(".parts").get_by_role("columnheader", name=column)
            head.get_by_role("button", name=column, exact=True).click()
            fact(head.get_attribute("aria-sort") == way, f"{name}: {column} does not say {way}")
            keys = [key(row) for row in rows(page)]
            if column == "Qty":
                in_order = keys == sorted(keys, reverse=way == "descending")
                fact(in_order, f"{name}: {column} is not {way}: {keys}")
            fact(sorted(rows(page)) == sorted(everything), f"{name}: sorting loses rows")
        sorts = page.locator(".parts th[aria-sort=ascending], .parts th[aria-sort=descending]").count()
        fact(sorts == 1, f"{name}: {sorts} columns say that they sort")
    find, count = page.get_by_role("searchbox", name="Find a part"), page.locator("#count")
    wanted = everything[-1][0]
    find.fill(wanted.upper())
    left = [row[0] for row in rows(page)]
    fact(wanted in left and all(wanted in row for row in left), f"{name}: found {left} for {wanted}")
    fact(f"{len(left)} of {len(everything)} part" in count.inner_text(), f"{name}: {count.inner_text()}")
    find.fill("no such part")
    fact(rows(page) == [], f"{name}: something is found that is not there")
    find.fill("")
    only = page.get_by_role("combobox", name="Show")
    only.select_option("bent")
    bent = page.locator(".card:has(.steps)").count()
    fact(len(rows(page)) == bent, f"{name}: {len(rows(page))} rows of {bent} bent parts")
    only.select_option("")
    fact(len(rows(page)) == len(everything), f"{name}: the filter does not let go")


def linked(page, name):
    """Row and pieces light each other; a click on a piece, and a name, open the card."""
    lit = "document.querySelectorAll('#sheets .piece.lit').length"
    of = "document.querySelectorAll(`#sheets .piece[data-p=\"${%s}\"]`).length"
    part = page.evaluate("document.querySelector('.sheet.on .piece').dataset.p")
    row = page.locator(f".parts tr[data-p='{part}']")
    row.locator("td").first.hover()
    wanted = page.evaluate(of % part)
    fact(wanted > 0 and page.evaluate(lit) == wanted, f"{name}: a row does not light its {wanted} pieces")
    page.locator("h1").hover()
    fact(page.evaluate(lit) == 0, f"{name}: pieces stay lit")
    # Where there is metal: at its number.
    at = page.evaluate(
        "(() => { document.querySelector('.sheet.on svg').scrollIntoView({ block: 'center', behavior: 'instant' });"
        " const r = document.querySelector('.sheet.on text.n:not(.tiny)').getBoundingClientRect();"
        " return [r.x + r.width / 2, r.y + r.height / 2]; })()"
    )
    page.mouse.move(*at)
    first = page.evaluate("document.querySelector('.sheet.on text.n:not(.tiny)').dataset.p")
    lights = page.locator(f".parts tr[data-p='{first}']").get_attribute("class") or ""
    fact("lit" in lights, f"{name}: a piece does not light its row")
    where = page.locator("#where").inner_text()
    fact(re.search(r": \d+ on ", where), f"{name}: it is not said where the pieces are: {where!r}")
    page.mouse.click(*at)
    card = f"part-{page.evaluate(f'document.querySelector(`.parts tr[data-p=`+CSS.escape({first})+` ] a`).textContent')}"
    fact(page.evaluate("decodeURI(location.hash.slice(1))") == card, f"{name}: a click on a piece does not open {card}")
    fact(page.evaluate("document.activeElement.id") == card, f"{name}: the focus does not go to {card}")
    page.locator(".parts tbody a").last.click()
    last = page.locator(".parts tbody a").last.inner_text()
    fact(page.evaluate("document.activeElement.id") == f"part-{last}", f"{name}: a name does not open its card")
    page.locator(".parts tbody a").last.focus()
    fact(page.evaluate(lit) > 0, f"{name}: the keyboard lights no piece")
    for card in page.locator(".card").all():
        if card.locator(".holes tbody tr").count():
            card.locator(".holes tbody tr td").first.hover()
            count = card.locator("svg .hole.on").count()
            fact(count == 1, f"{name}: a row of a hole lights {count} holes")
            break
    page.evaluate("location.hash = ''; scrollTo(0, 0)")


def becomes(page, true):
    """Whether something becomes true within 5 s: a busy browser draws late."""
    for _ in range(100):
        if true():
            return True
        page.wait_for_timeout(50)
    return False


def sheets(page, name):
    """Each sheet by its tab; larger, smaller, whole by keys; the plain wheel leaves it alone."""
    tabs = page.get_by_role("tab")
    count = page.locator("figure.sheet").count()
    fact(tabs.count() == count, f"{name}: {tabs.count()} tabs of {count} sheets")
    tabs.first.focus()
    for i in range(count):
        fact(page.locator("figure.sheet").nth(i).is_visible(), f"{name}: sheet {i} is not shown")
        fact(page.locator("figure.sheet >> visible=true").count() == 1, f"{name}: not one sheet")
        page.keyboard.press("ArrowRight")
    view = lambda: page.locator(".sheet.on svg.nest").first.get_attribute("viewBox")
    wide = lambda: float(view().split()[2])
    before = wide()
    stage = page.locator(".sheet.on .stage").first
    stage.focus()
    page.keyboard.press("+")
    fact(becomes(page, lambda: wide() < before * 0.8), f"{name}: plus does not zoom: {before} to {wide()}")
    at = view()
    page.keyboard.press("ArrowRight")
    fact(becomes(page, lambda: view() != at), f"{name}: an arrow does not move the sheet")
    page.keyboard.press("0")
    fact(becomes(page, lambda: abs(wide() - before) < 0.01), f"{name}: 0 does not show the whole")
    stage.hover()
    page.mouse.wheel(0, -100)
    page.wait_for_timeout(300)
    fact(abs(wide() - before) < 0.01, f"{name}: the plain wheel zooms")
    page.evaluate("scrollTo(0, 0)")


def narrow(page, name, pictures, scheme):
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 700})
        wide = page.evaluate("document.documentElement.scrollWidth")
        over = page.evaluate(OVER) if wide > width else []
        fact(wide <= width, f"{name}: it is {wide} px wide on a screen of {width}: {over}")
        if width == 360:
            hidden = page.evaluate(HIDDEN)
            fact(not hidden, f"{name}: columns run off to the right: {hidden[:3]}")
            low = page.evaluate(
                "[...document.querySelectorAll('button, input, select, summary, a:not(.piece, .skip)')].filter(e => e.checkVisibility())"
                f".filter(e => e.getBoundingClientRect().height < {TOUCH} - 0.5).map(e => e.outerHTML.slice(0, 60))"
            )
            fact(not low, f"{name}: too low to touch: {low[:3]}")
            if pictures:
                page.screenshot(path=str(pictures / f"{scheme}-small.png"), full_page=True)


def plain(browser, address, name, pictures):
    """Without its script: a long page with everything, and nothing that does nothing."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1100, "height": 900})
    page = context.new_page()
    page.goto(address)
    shown = page.locator("figure.sheet >> visible=true").count()
    fact(shown == page.locator("figure.sheet").count(), f"{name}: without script only {shown} sheets show")
    dead = sum(control.is_visible() for control in page.locator("button, input, select").all())
    fact(dead == 0, f"{name}: without script {dead} controls do nothing")
    hints = page.locator(".hint >> visible=true").count()
    fact(hints == 0, f"{name}: without script it promises that pieces light up")
    cards = page.locator("article.card >> visible=true").count()
    fact(cards == page.locator("article.card").count(), f"{name}: without script only {cards} cards show")
    if pictures:
        page.screenshot(path=str(pictures / "plain.png"), full_page=True)
    context.close()


def printed(browser, address, name, pictures):
    page = browser.new_page(color_scheme="dark")
    page.goto(address)
    page.emulate_media(media="print", color_scheme="dark")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    fact(luminance(ground) > 0.9, f"{name}: it is printed on {ground}")
    fact(page.locator("nav >> visible=true").count() == 0, f"{name}: links are printed")
    shown = page.locator("figure.sheet >> visible=true").count()
    fact(shown == page.locator("figure.sheet").count(), f"{name}: only {shown} sheets are printed")
    for fill in page.evaluate(DRAWN)["fills"]:
        fact(luminance(fill) > 0.6, f"{name}: metal is printed {fill}")
    whole = page.evaluate(
        "[...document.querySelectorAll('.whole img')].every("
        "e => e.getBoundingClientRect().width > 0.95 * document.querySelector('main').clientWidth)"
    )
    fact(whole, f"{name}: a picture that is printed as wide as the page is not")
    torn = page.evaluate(
        "[...document.querySelectorAll('.scroll, .keep')].filter(e => e.querySelectorAll('tbody tr').length < 13)"
        ".filter(e => getComputedStyle(e).breakInside !== 'avoid').map(e => e.outerHTML.slice(0, 60))"
    )
    fact(not torn, f"{name}: a page may break within {torn[:3]}")
    heads = page.locator("thead th").all_inner_texts()
    fact(all(head.strip() for head in heads), f"{name}: a printed column has no head: {heads}")
    made = page.pdf(format="A4", prefer_css_page_size=True)
    fact(len(made) > 10_000, f"{name}: it prints to {len(made)} bytes")
    if pictures:
        (pictures / "print.pdf").write_bytes(made)
    page.close()


def opened(browser, address, name, scheme, pictures):
    page = browser.new_page(color_scheme=scheme, viewport={"width": 1400, "height": 900}, reduced_motion="reduce")
    requests, said = [], []
    page.on("request", lambda r: requests.append(r.url))
    page.on("console", lambda m: said.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.goto(address)
    colours(page, name, scheme)
    if pictures:
        # What is far below is not drawn until it is scrolled to.
        page.add_style_tag(content=".card { content-visibility: visible !important }")
        page.screenshot(path=str(pictures / f"{scheme}.png"), full_page=True)
        page.screenshot(path=str(pictures / f"{scheme}-top.png"))
    # What no colour changes is looked at once.
    if scheme == "light":
        structure(page, name)
        keyboard(page, name)
        if page.locator(".parts").count():
            table(page, name)
        if page.locator("figure.sheet").count():
            sheets(page, name)
            linked(page, name)
    if scheme == "light" or pictures:
        narrow(page, name, pictures, scheme)
    page.wait_for_timeout(200)
    away = [u for u in requests if not u.startswith("data:") and u.split("#")[0] != address]
    fact(not away, f"{name}: it asks for {away[:3]}")
    fact(not said, f"{name}: the browser says {said[:3]}")
    fact(page.evaluate("window.hit === undefined"), f"{name}: a name has become script")
    page.close()


def main():
    folder = Path(sys.argv[1]).resolve()
    pictures = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    name = "report.html"
    address = (folder / name).as_uri()
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=browser_path(), args=ARGUMENTS)
        for scheme in ["light", "dark"]:
            opened(browser, address, name, scheme, pictures)
        plain(browser, address, name, pictures)
        printed(browser, address, name, pictures)
        browser.close()
    for words in failed:
        print(words)
    print(f"{passed} passed, {len(failed)} failed")
    sys.exit(1 if failed else 0)


main()
