"""report.html in a browser: opens without network, speaks to screen readers, can be read.

Usage: check_page.py FOLDER [PICTURES]: with a second folder, screenshots are put there.
"""

import os
import re
import shutil
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

passed, failed = 0, []

# Least contrast of text, WCAG 2.2, success criterion 1.4.3.
CONTRAST = 4.5

LANDMARKS = {"banner": "header", "navigation": "nav", "main": "main", "contentinfo": "footer"}

# Ground and text of every element that has words of its own.
COLOURS = """() => {
  const found = [];
  for (const element of document.querySelectorAll("body *")) {
    const words = [...element.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!words || element.closest("svg")) continue;
    let under = element;
    while (under && getComputedStyle(under).backgroundColor === "rgba(0, 0, 0, 0)") under = under.parentElement;
    const ground = under ? getComputedStyle(under).backgroundColor : "rgb(255, 255, 255)";
    found.push([element.tagName, getComputedStyle(element).color, ground]);
  }
  return found;
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


def fact(true, words):
    global passed
    if true:
        passed += 1
    else:
        failed.append(words)


def browser_path():
    for name in ["chromium", "chromium-browser", "google-chrome"]:
        if shutil.which(name):
            return shutil.which(name)
    sys.exit("no Chromium: install it (Debian: apt-get install chromium)")


def luminance(colour):
    parts = [int(n) / 255 for n in re.findall(r"\d+", colour)[:3]]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    high, low = sorted([luminance(a), luminance(b)], reverse=True)
    return (high + 0.05) / (low + 0.05)


def structure(page, name):
    for role, tag in LANDMARKS.items():
        fact(page.get_by_role(role).count() == 1, f"{name}: there is not one {role} ({tag})")
    fact(page.locator("html[lang]").count() == 1, f"{name}: it does not say its language")
    fact(page.title() != "", f"{name}: it has no title")
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => +h.tagName[1])")
    fact(levels.count(1) == 1 and levels[0] == 1, f"{name}: there is not one heading above all")
    steps = all(b <= a + 1 for a, b in zip(levels, levels[1:]))
    fact(steps, f"{name}: headings skip a level: {levels}")
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
    fact(len(ids) == len(set(ids)), f"{name}: an id is there twice")
    broken = page.evaluate(
        "[...document.querySelectorAll('[aria-labelledby], a[href^=\"#\"]')]"
        ".map(e => e.getAttribute('aria-labelledby') || e.getAttribute('href').slice(1))"
        ".filter(id => !document.getElementById(id))"
    )
    fact(not broken, f"{name}: nothing is called {broken}")
    for table in page.evaluate(TABLES):
        fact(table["caption"] != "", f"{name}: a table has no caption")
        whole = table["heads"] > 0 and table["widths"] == [table["heads"]] and table["named"]
        fact(whole, f"{name}: the table {table['caption']!r} lacks heads: {table}")
    images = page.evaluate(IMAGES)
    fact(len(images) > 0, f"{name}: there is no picture")
    for alt, width in images:
        fact(alt != "", f"{name}: a picture has no words")
        fact(width > 0, f"{name}: the picture {alt!r} does not show")


def keyboard(page, name):
    """The skip link first, then every link and table, in the order of the page, seen."""
    wanted = page.evaluate(
        "[...document.querySelectorAll('a[href], [tabindex=\"0\"]')].filter(e => e.tagName !== 'LINK').length"
    )
    page.evaluate("document.activeElement.blur()")
    places, seen = [], 0
    for _ in range(wanted):
        page.keyboard.press("Tab")
        place, outline = page.evaluate(
            "(() => { const e = document.activeElement;"
            " return [[...document.querySelectorAll('*')].indexOf(e), getComputedStyle(e).outlineStyle]; })()"
        )
        places.append(place)
        seen += outline != "none"
    fact(places == sorted(set(places)), f"{name}: the focus does not follow the page")
    fact(seen == wanted, f"{name}: the focus is seen {seen} times of {wanted}")
    first = page.evaluate("document.querySelector('a[href]').getAttribute('href')")
    fact(first == "#main", f"{name}: the first link does not skip to the report")


def colours(page, name, scheme):
    found = page.evaluate(COLOURS)
    fact(len(found) > 50, f"{name}: only {len(found)} pieces of text")
    for tag, text, ground in found:
        ratio = contrast(text, ground)
        fact(ratio >= CONTRAST, f"{name}, {scheme}: {tag} {text} on {ground} is {ratio:.2f} to 1")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    dark = luminance(ground) < 0.2
    fact(dark == (scheme == "dark"), f"{name}: the ground is {ground} in {scheme}")


def main():
    folder = Path(sys.argv[1]).resolve()
    pictures = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    name = "report.html"
    arguments = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=browser_path(), args=arguments)
        for scheme in ["light", "dark"]:
            page = browser.new_page(color_scheme=scheme, viewport={"width": 1100, "height": 900})
            requests, said = [], []
            page.on("request", lambda r: requests.append(r.url))
            page.on("console", lambda m: said.append(m.text) if m.type in ("error", "warning") else None)
            page.on("pageerror", lambda e: said.append(str(e)))
            page.goto((folder / name).as_uri())
            structure(page, name)
            colours(page, name, scheme)
            if scheme == "light":
                keyboard(page, name)
            page.wait_for_timeout(200)
            away = [u for u in requests if not u.startswith("data:") and u != (folder / name).as_uri()]
            fact(not away, f"{name}: it asks for {away[:3]}")
            fact(not said, f"{name}: the browser says {said[:3]}")
            if pictures:
                page.evaluate("window.scrollTo(0, 0)")
                page.screenshot(path=str(pictures / f"{scheme}.png"), full_page=True)
            page.set_viewport_size({"width": 360, "height": 640})
            wide = page.evaluate("document.documentElement.scrollWidth")
            fact(wide <= 360, f"{name}: it is {wide} px wide on a telephone of 360")
            if pictures:
                page.screenshot(path=str(pictures / f"{scheme}-small.png"))
            page.close()
        page = browser.new_page(color_scheme="dark")
        page.goto((folder / name).as_uri())
        page.emulate_media(media="print", color_scheme="dark")
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        fact(luminance(ground) > 0.9, f"{name}: it is printed on {ground}")
        fact(not page.locator("nav").is_visible(), f"{name}: links are printed")
        printed = page.pdf(format="A4")
        fact(len(printed) > 10_000, f"{name}: it prints to {len(printed)} bytes")
        if pictures:
            (pictures / "print.pdf").write_bytes(printed)
        browser.close()
    for words in failed:
        print(words)
    print(f"{passed} passed, {len(failed)} failed")
    sys.exit(1 if failed else 0)


main()
