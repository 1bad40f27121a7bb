"""The page of a job in a browser: seen, changed, undone, folded, nested, made; nothing leaves.

Usage: check_serve.py PROGRAM FOLDER [PICTURES]: FOLDER holds cart.toml of tests/all/page/desk.rs;
with a third argument, screenshots are put there.
"""

import filecmp
import resource
import shutil
import subprocess
import sys
import time
from pathlib import Path

from browser import ARGUMENTS, COLOURS, browser_path, contrast
from playwright.sync_api import TimeoutError, sync_playwright

passed, failed = 0, []

# Minimum height of a touch target on a phone, px: WCAG 2.2, success criterion 2.5.5.
TOUCH = 44
# Least contrast of text: WCAG 2.2, success criterion 1.4.3.
CONTRAST = 4.5

NAMELESS = """() => [...document.querySelectorAll("a, button, input, select, textarea, [role=group], [role=img], nav, aside, article")]
  .filter(e => e.checkVisibility())
  .filter(e => {
    const own = e.getAttribute("aria-label") || e.textContent.trim() || (e.labels && [...e.labels].map(l => l.textContent).join(""));
    return !(own && own.trim());
  }).map(e => e.outerHTML.slice(0, 120))"""

COVERED = """() => {
  const [said, asked] = ["#said", ".clash"].map(of => document.querySelector(of).getBoundingClientRect());
  return said.height > 0 && said.top < asked.bottom && asked.top < said.bottom;
}"""

# Whether everything can be written while the layout is that of an earlier state of the job.
EARLY = """() => import("/page.mjs").then(({ page }) => {
  page.sheets.version -= 1;
  page.view.sheets();
  const isOpen = !document.querySelector(".search button.main").disabled;
  page.sheets.version += 1;
  page.view.sheets();
  return isOpen || document.querySelector(".search button.main").disabled;
})"""

# The height of the numbers on the pieces of a sheet, px.
NUMBERS = """() => [...document.querySelectorAll(".stage text.no")].map(of => Number(of.getAttribute("font-size")) * of.getScreenCTM().a)"""

LOW = """() => [...document.querySelectorAll("button, a, input, select, summary, [type=checkbox] + label")]
  .filter(e => e.checkVisibility() && !e.matches(".skip, .changing a, .general a, [type=range], [type=checkbox]"))
  .map(e => [e.outerHTML.slice(0, 90), Math.round(e.getBoundingClientRect().height)])
  .filter(([, h]) => h > 0 && h < %d)""" % TOUCH


def check(fact, words):
    global passed
    if fact:
        passed += 1
    else:
        failed.append(words)


class Page:
    """A browser's page on a job."""

    def __init__(self, browser, address, width, height, **how):
        self.context = browser.new_context(viewport={"width": width, "height": height}, **how)
        self.page = self.context.new_page()
        self.page.set_default_timeout(60000)
        self.asked, self.said = [], []
        self.page.on("request", lambda r: self.asked.append(r.url))
        self.page.on("console", lambda m: self.said.append(m.text) if m.type in ("error", "warning") else None)
        self.page.on("pageerror", lambda e: self.said.append(str(e)))
        self.page.goto(address)
        self.page.wait_for_selector("html[data-ready]")

    def go(self, name):
        self.page.evaluate("name => { location.hash = name }", name)

    def part(self, name):
        head = self.page.locator(f".phead h2:text-is('{name}')")
        # What was undone a moment ago may take the page to its own place first.
        for _ in range(20):
            self.go(f"#/part/{name}")
            try:
                head.wait_for(timeout=6000)
                break
            except TimeoutError:
                continue
        self.page.wait_for_selector(".cell #field-quantity")

    def until(self, what, fact):
        """Waits until something is so; the page allows no text to be run within it."""
        for _ in range(1200):
            if self.page.evaluate(fact):
                return check(True, what)
            time.sleep(0.05)
        check(False, f"{what}: never")

    def field(self, key):
        return self.page.locator(f"#field-{key}")

    def cell(self, key):
        return self.page.locator(f"[data-cell={key}]")

    def clean(self, what):
        bad = [words for words in self.said if "422" not in words and "409" not in words]
        check(not bad, f"{what}: the browser says {bad}")
        check(not self.page.evaluate(NAMELESS), f"{what}: without a name {self.page.evaluate(NAMELESS)}")
        over = self.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        check(over <= 0, f"{what}: {over} px stand out of the page")
        for name, ink, ground in self.page.evaluate(COLOURS, ["svg, option, .flat", True]):
            if contrast(ink, ground) < CONTRAST:
                failed.append(f"{what}: {name} has a contrast of {contrast(ink, ground):.1f} to 1")
                break
        else:
            check(True, "")


class Job:
    """The program and its job."""

    def __init__(self, program, folder):
        self.path, self.folder, self.program = folder / "cart.toml", folder, program
        # Changes are compared with the last output.
        make = [program, "make", "cart.toml", "--effort", "0"]
        subprocess.run(make, cwd=folder, check=True, capture_output=True)
        # A write that is refused is answered by an error, not by the accompanying signal.
        how = {"cwd": folder, "stdout": subprocess.PIPE, "text": True, "restore_signals": False}
        self.run = subprocess.Popen([program, "page", "cart.toml"], **how)
        self.address = self.run.stdout.readline().strip()
        self.home = self.address.split("/?")[0]

    def text(self):
        return self.path.read_text()

    def room(self, most=resource.RLIM_INFINITY):
        """Lets the program write files of so many bytes at most."""
        resource.prlimit(self.run.pid, resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))

    def until(self, fact, words):
        """Waits until something is in the file."""
        for _ in range(1200):
            if fact(self.text()):
                return check(True, words)
            time.sleep(0.05)
        check(False, f"{words}: {self.text()}")


def add_and_make(job, page):
    """A tab is added, changed, and everything is made as `make` makes it."""
    page.go("#/new")
    page.page.click(".recipes button:has(b:text-is('tab'))")
    page.page.wait_for_selector(".phead h2:text-is('tab')")
    page.page.wait_for_selector(".flat svg")
    job.until(lambda text: 'name     = "tab"' in text, "the new part is in the file")
    page.clean("a new part")
    page.go("#/sheets")
    page.page.wait_for_selector(".nest .piece")
    check(page.page.locator(".stage .piece").count() >= 4, "pieces lie on the sheet")
    page.page.click(".search button")
    page.page.wait_for_selector(".search button", state="hidden")
    check("search is done" in page.page.inner_text(".search .lead"), "the search has an end")
    page.clean("sheets")
    page.go("#/order")
    check(not page.page.evaluate(EARLY), "nothing is written by an old layout")
    shutil.copytree(job.folder / "out/cart", job.folder / "before")
    page.page.uncheck(".send input >> nth=1")
    page.until("what is kept is told", "document.querySelectorAll('.send label')[1].textContent.startsWith('kept')")
    page.page.click("button.main")
    page.page.wait_for_selector(".made .big")
    check(page.page.inner_text(".made").count(".zip") == 1, "only what is sent is to be sent")
    check("out/cart" in page.page.inner_text(".made"), "it says where the files are")
    own, apart = job.folder / "out/cart", job.folder / "page"
    with page.page.expect_download() as saved:
        page.page.click(".made a[aria-label^='Save order/']")
    package = own / "order" / saved.value.suggested_filename
    check(package.read_bytes() == Path(saved.value.path()).read_bytes(), "a package is saved as it was written")
    page.go("#/sheets")
    page.page.wait_for_selector(".stage .nest")
    page.go("#/order")
    page.page.wait_for_selector(".made a[aria-label='Save report.html']")
    own.rename(apart)
    (job.folder / "before").rename(own)
    subprocess.run([job.program, "make", "cart.toml"], cwd=job.folder, check=True, capture_output=True)
    names = lambda of: sorted(str(p.relative_to(of)) for p in of.rglob("*") if p.is_file())
    check(names(own) == names(apart) and len(names(own)) > 20, "the same files")
    differ = [n for n in names(own) if not filecmp.cmp(own / n, apart / n, shallow=False)]
    check(not differ, f"byte for byte: {differ}")
    page.clean("order")


def change(job, page):
    """A bolt, a comma, a bad unit, undo, what else changes."""
    page.part("ear")
    before = page.page.inner_html(".flat")
    page.field("bolt").select_option("M10")
    job.until(lambda text: 'bolt = "M10"' in text, "the bolt is in the file")
    for _ in range(400):
        if page.page.inner_html(".flat") != before:
            break
        time.sleep(0.05)
    check("11" in page.page.text_content(".flat svg"), "the hole of M10 is 11 mm")
    page.until("what changes is listed", "document.querySelectorAll('.side .changing li').length > 0")
    said = page.page.inner_text(".side .changing")
    check("remake" in said and "M10" in said, f"what changes names part and bolts: {said}")
    reach = page.field("reach")
    for typed, wanted, button in [("33,5 mm", "comma", "Use 33.5 mm"), ("33 mmm", "mmm", None)]:
        # The answer of the last edit may put its own value there after this one was typed.
        for _ in range(10):
            reach.fill(typed)
            try:
                page.page.wait_for_selector("[data-cell=reach].wrong .finding", timeout=6000)
                break
            except TimeoutError:
                continue
        # The message of the text before it may still be there.
        for _ in range(400):
            said = page.cell("reach").inner_text()
            if wanted in said:
                break
            time.sleep(0.05)
        check(wanted in said and "stop" in said, f"{typed}: {said}")
        check(typed not in job.text(), f"{typed} is only tried")
        if button:
            page.page.click(f"[data-cell=reach] button:text-is('{button}')")
            job.until(lambda text: "33.5 mm" in text, "the value that is offered is taken")
            check(page.page.evaluate("document.activeElement.dataset.key") == "reach", "the field has the hand again")
    reach.press("Escape")
    reach.fill("34")
    reach.press("Enter")
    job.until(lambda text: 'reach = "34 mm"' in text, "a missing unit is added")
    check(page.page.evaluate("document.activeElement.dataset.key") == "foot", "Enter goes to the next field")
    check("reach" in page.page.get_attribute("#undo", "aria-label"), "undo says what it undoes")
    page.page.click("#undo")
    job.until(lambda text: 'reach = "33.5 mm"' in text, "undone")
    page.page.keyboard.press("Control+z")
    page.page.keyboard.press("Control+z")
    job.until(lambda text: 'bolt = "M8"' in text and 'reach = "30 mm"' in text, "undone by key")
    check("# pairs" in job.text() and "# ours" in job.text(), "comments are kept")


def only_read(job, browser):
    """A page that only reads tries a value, says so, and writes nothing."""
    how = {"cwd": job.folder, "stdout": subprocess.PIPE, "text": True}
    run = subprocess.Popen([job.program, "page", "cart.toml", "--read-only"], **how)
    try:
        page, before = Page(browser, run.stdout.readline().strip(), 1400, 980), job.text()
        page.part("ear")
        page.page.wait_for_selector(".flat svg")
        page.field("reach").fill("36")
        page.field("reach").press("Enter")
        page.page.wait_for_selector("[data-cell=reach] .note")
        check("not saved" in page.cell("reach").inner_text(), "a page that only reads says that it only tried")
        page.until("what is tried is drawn", "document.querySelector('.flat svg').textContent.includes('36')")
        check(job.text() == before, "nothing is written")
        check(page.page.locator(".phead .acts").count() == 0, "nothing is removed or copied")
        page.clean("a page that only reads")
        page.context.close()
    finally:
        run.kill()
        run.wait()


def full(job, page):
    """Nothing more can be written: it is said at the field, which keeps what was typed."""
    page.part("ear")
    before, foot = job.text(), page.field("foot")
    job.room(64)
    foot.fill("42 mm")
    foot.press("Enter")
    page.page.wait_for_selector("[data-cell=foot].wrong .finding")
    said = page.page.inner_text("[data-cell=foot] .found")
    check("too large" in said.lower() or "space" in said.lower() or "written" in said.lower(), f"a full disk is said: {said}")
    check(foot.input_value() == "42 mm", "the edit stays in its field")
    check(job.text() == before, "the file is as it was")
    check(not [p for p in job.folder.iterdir() if p.name.startswith(".cart") or p.name.endswith("~")], "nothing is left beside it")
    job.room()
    foot.focus()
    foot.press("Enter")
    job.until(lambda text: 'foot = "42 mm"' in text, "once there is room it is taken")
    page.page.click("#undo")
    job.until(lambda text: text == before, "and undone")
    for typed in ("abc", "43 mm"):
        foot.fill(typed)
        foot.press("Tab")
    job.until(lambda text: 'foot = "43 mm"' in text, "a good value after a refused one is taken when the field is left")
    page.page.click("#undo")
    job.until(lambda text: text == before, "and undone too")


def outside(job, page, other):
    """The file is changed by an editor while two windows are open."""
    page.part("ear")
    other.part("ear")
    text = job.text().replace('foot = "40 mm"', 'foot = "44 mm"')
    aside = job.folder / "aside"
    aside.write_text(text)
    aside.rename(job.path)
    for window in (page, other):
        window.until("an outside edit is shown", "document.querySelector('#field-foot').value === '44 mm'")
        check("44 mm" in window.page.inner_text("#said"), "what was changed outside is told")
    # An outside edit of the very value that is being typed: both stay until one is chosen.
    # What was undone here last has settled by then.
    page.until("an undo settles", "import('/page.mjs').then(of => of.page.stepped < performance.now())")
    for choice, wanted in (("Use 45 mm", "45 mm"), ("Save 48 mm", "48 mm")) * 2:
        page.field("foot").click()
        page.field("foot").fill("48 mm")
        aside.write_text(job.text().replace('foot = "44 mm"', 'foot = "45 mm"'))
        aside.rename(job.path)
        page.page.wait_for_selector("[data-cell=foot] .clash")
        said = page.page.inner_text("[data-cell=foot] .clash")
        check("now has 45 mm" in said and page.field("foot").input_value() == "48 mm", f"what is typed stays: {said}")
        check(not page.page.evaluate(COVERED), "what is told does not cover the question")
        leaves = "dispatchEvent(new Event('beforeunload', { cancelable: true }))"
        check(not page.page.evaluate(leaves), "who closes the page is told of what is not saved")
        page.field("foot").press("Tab")
        page.page.wait_for_timeout(400)
        check('foot = "45 mm"' in job.text(), "nothing is written before one is chosen")
        page.clean("a value that was changed outside")
        page.page.click(f"[data-cell=foot] .clash button:text-is('{choice}')")
        page.until("nothing is unsaved then", leaves)
        page.until("one is chosen", f"!document.querySelector('.clash') && document.querySelector('#field-foot').value === '{wanted}'")
        job.until(lambda text: f'foot = "{wanted}"' in text, "and is in the file")
        aside.write_text(job.text().replace(f'foot = "{wanted}"', 'foot = "44 mm"'))
        aside.rename(job.path)
        page.until("back as before", "document.querySelector('#field-foot').value === '44 mm'")
    page.field("foot").fill("46 mm")
    page.field("foot").press("Enter")
    other.until("the other window shows it", "document.querySelector('#field-foot').value === '46 mm'")
    check('foot = "46 mm"' in job.text(), "two windows agree")
    other.page.click("#undo")
    page.until("one window undoes what the other did", "document.querySelector('#field-foot').value === '44 mm'")


def crowded(job, page):
    """More pieces than the stock has room for: neither the part nor the job is clear."""
    whole = job.text()
    before = whole.replace("price = 14 }", "price = 14, count = 1 }")
    check(before != whole, "there is one sheet")
    aside = job.folder / "aside"
    aside.write_text(before)
    aside.rename(job.path)
    page.part("ear")
    quantity = page.field("quantity")
    quantity.fill("150")
    quantity.press("Enter")
    job.until(lambda text: "quantity = 150" in text, "many pieces")
    for place in (".phead .state", "#sum .state", ".rows a[data-part=ear] .state"):
        page.until(f"{place} says that pieces have no place", f"document.querySelector('{place}')?.textContent.includes('without a place')")
        check("clear" not in page.page.inner_text(place), f"{place} is not clear")
    check("no place on the sheets" in page.page.inner_text(".phead"), "it says what to do")
    page.clean("a part without a place")
    page.go("#/order")
    page.page.wait_for_selector(".orders")
    page.until("the order counts what is placed", "/\\d+ of \\d+ pieces/.test(document.querySelector('.lead').textContent)")
    said = page.page.inner_text("main")
    check("without a place" in page.page.inner_text(".orders") and "Ready to order? No" in said, f"the order says so: {said[:300]}")
    page.page.click("#undo")
    job.until(lambda text: text == before, "undone")
    aside.write_text(whole)
    aside.rename(job.path)
    page.part("ear")
    page.until("it is clear once it is laid out", "document.querySelector('.phead .state')?.textContent === 'clear'")


def impossible(job, page):
    """A link that cannot be made: its old drawing is called so, and a length that works is offered."""
    page.go("#/links")
    page.page.click("button:text-is('New link')")
    page.page.wait_for_selector(".phead h2:text-is('link')")
    page.page.wait_for_selector(".flat svg")
    pins = page.field("pins")
    pins.fill("60 mm")
    pins.press("Enter")
    page.page.wait_for_selector(".flat.old")
    page.until("the old drawing is called so", "document.querySelector('.flat.old .stale')?.textContent.includes('last drawing')")
    page.page.click("[data-cell=pins] button:has-text('Use ')")
    page.page.wait_for_selector(".flat:not(.old) svg")
    page.until("and is gone", "!document.querySelector('.stale')")
    check("stop" not in page.page.inner_text(".phead"), "what is offered is possible")
    page.page.click("button:text-is('Remove')")
    page.until("the link is removed", "location.hash === '#/links'")


def refused(job, page):
    """A text that is refused stays marked as not saved while another field is changed."""
    page.go("#/links")
    page.page.click("button:text-is('New link')")
    page.page.wait_for_selector(".phead h2:text-is('link')")
    pins = page.field("pins")
    pins.fill("30-1/2")
    pins.press("Enter")
    page.page.wait_for_selector("[data-cell=pins].wrong .untaken")
    page.field("quantity").fill("2")
    page.field("quantity").press("Enter")
    job.until(lambda text: "quantity = 2" in text.split("[[link]]")[1], "the other field is saved")
    time.sleep(0.5)
    said = page.cell("pins").inner_text()
    check(pins.input_value() == "30-1/2" and "wrong" in page.cell("pins").get_attribute("class"), "a refused text stays marked")
    check("Not saved: the file still has 600 mm" in said and "30-1/2 in" in said, f"with the reason: {said}")
    pins.fill("30-1/2 in")
    pins.press("Enter")
    job.until(lambda text: '"30-1/2 in"' in text, "it is put right")
    page.until("its mark is gone", "!document.querySelector('.untaken')")
    page.page.click("button:text-is('Remove')")
    page.until("the link is removed", "location.hash === '#/links'")


def fold(page):
    """A box is turned and folded."""
    page.part("box")
    page.page.wait_for_selector(".turn[data-drawn]")
    made = lambda n: f"document.querySelector('.turn').getAttribute('aria-label').includes('{n} of 4')"
    page.until("all bends are made", made(4))
    shot = lambda: page.page.evaluate("document.querySelector('.turn canvas').toDataURL()")
    first = shot()
    box = page.page.locator(".turn").bounding_box()
    page.page.mouse.move(box["x"] + 100, box["y"] + 100)
    page.page.mouse.down()
    page.page.mouse.move(box["x"] + 160, box["y"] + 120, steps=4)
    page.page.mouse.up()
    page.page.wait_for_timeout(120)
    check(shot() != first, "dragging turns it")
    page.page.focus(".turn")
    page.page.keyboard.press("0")
    page.page.wait_for_timeout(120)
    check(shot() == first, "0 sets it back")
    page.page.keyboard.press("ArrowLeft")
    page.page.wait_for_timeout(120)
    check(shot() != first, "an arrow turns it")
    tool = "document.querySelector('.stepwords .tool').textContent"
    named = lambda n: f"document.querySelector('.section svg')?.getAttribute('aria-label').startsWith('Bend {n},')"
    page.until("the last step shows its section", named(4))
    check(page.page.evaluate(tool).startswith("tool: "), "it says with which tool")
    for left in (3, 2):
        page.page.keyboard.press("PageUp")
        page.until("a key steps back", made(left))
    page.until("its section follows the keys", named(2))
    check("tool: " in page.page.get_attribute(".turn", "aria-label"), "the tool is said where it is turned")
    page.page.hover(".steps button[data-step='3']")
    page.until("pointing at a step shows its section", named(3))
    check(page.page.locator(".flat text.under").count() == 1, "its number in the flat is lit")
    page.page.hover(".phead h2")
    page.until("and lets go of it", named(2))
    page.page.click(".steps button:text-is('flat')")
    page.until("it lies flat", made(0))
    check("Scribe all bend lines" in page.page.inner_text(".stepwords"), "what comes first is said")
    page.page.focus("input[type=range]")
    page.page.keyboard.press("End")
    page.until("it is folded", made(4))
    check("°" in page.page.inner_text(".stepwords"), "the last step says its angle")
    page.clean("a box")


def keyboard(page):
    """By keys alone from the top of the page to a field."""
    page.part("lug")
    page.page.evaluate("document.activeElement.blur()")
    page.page.keyboard.press("/")
    check(page.page.evaluate("document.activeElement.id") == "find", "/ finds")
    page.page.keyboard.type("box")
    check(page.page.locator(".rows a").count() == 1, "what is sought is found")
    seen = []
    for _ in range(40):
        page.page.keyboard.press("Tab")
        now = page.page.evaluate("document.activeElement.dataset.key || document.activeElement.className || document.activeElement.tagName")
        seen.append(now)
        if now == "bolt":
            break
    check("turn" in seen and "quantity" in seen and seen[-1] == "bolt", f"Tab comes by all: {seen}")
    page.page.fill("#find", "")


def links(job, page):
    """A link is added, set, and taken out; a load is seen on the formed part."""
    before = job.text()
    page.go("#/links")
    page.page.click("button:text-is('New link')")
    page.page.wait_for_selector(".phead h2:text-is('link')")
    page.page.wait_for_selector(".flat svg")
    page.field("pins").fill("6,4 mm")
    page.page.wait_for_selector("[data-cell=pins].wrong .finding")
    check("6,4" not in job.text(), "what cannot be read is only tried")
    page.field("pins").fill("640")
    page.field("pins").press("Enter")
    job.until(lambda text: 'pins     = "640 mm"' in text, "a missing unit is added to a link")
    page.until("the link is drawn anew", "document.querySelector('.flat svg').textContent.includes('pins 640')")
    page.clean("a link")
    page.page.click("button:text-is('New load')")
    page.page.wait_for_selector(".turn[data-drawn]")
    page.page.wait_for_selector(".judged .answer")
    check("kN" in page.page.inner_text(".judged .answer"), "a load says what is allowed")
    page.clean("a load")
    page.go("#/links")
    page.page.click("button:text-is('New joint')")
    page.page.wait_for_selector(".phead h2:text-is('joint')")
    page.page.fill("#field-stack\\.1\\.spacer", "12")
    page.page.press("#field-stack\\.1\\.spacer", "Enter")
    job.until(lambda text: 'spacer = "12 mm"' in text, "a layer of a joint is a field")
    check(page.page.is_disabled("button:text-is('Add this layer')"), "which layer is asked first")
    page.page.select_option("#more-joint", "rubber")
    page.page.click("button:text-is('Add this layer')")
    job.until(lambda text: 'rubber = "3 mm"' in text, "a layer is added")
    page.page.wait_for_selector("[aria-label='layer 3: move up']")
    page.page.click("[aria-label='layer 2: remove']")
    job.until(lambda text: "rubber" not in text, "a layer is removed")
    page.clean("a joint")
    for kind in ("joint", "load", "link"):
        page.go(f"#/{kind}/0")
        page.page.wait_for_selector(f".phead h2:text-is('{kind}')")
        page.page.click("button:text-is('Remove')")
        page.until("it is removed", "location.hash === '#/links'")
    job.until(lambda text: text == before, "both are removed")


def machine(job, page):
    """Points are added, one is changed, an obstacle stands between them; all of it is undone."""
    before = job.text()
    page.go("#/machine")
    for name in ("rail_a", "rail_b"):
        page.page.fill(".recording input", name)
        page.page.keyboard.press("Enter")
        page.page.wait_for_selector(f"#field-points\\.{name}\\.0")
    x = page.page.locator("#field-points\\.rail_b\\.0")
    x.fill("800")
    page.until("what is typed moves the picture", "document.querySelector('.flat svg')?.textContent.includes('rail_b')")
    x.press("Enter")
    job.until(lambda text: 'rail_b = ["800 mm", ' in text, "a coordinate is in the file")
    page.clean("the machine")
    page.page.click("[aria-label='Rename point rail_b']")
    page.page.fill("[aria-label='New name of rail_b']", "rail_end")
    page.page.keyboard.press("Enter")
    job.until(lambda text: 'rail_end = ["800 mm", ' in text, "a point has another name")
    page.page.wait_for_selector("#field-points\\.rail_end\\.0")
    page.page.click("button:text-is('New obstacle')")
    page.page.wait_for_selector(".phead h2:text-is('obstacle')")
    job.until(lambda text: 'from    = "rail_a"' in text, "an obstacle stands between points")
    page.page.select_option("#field-to", "rail_a")
    job.until(lambda text: 'to      = "rail_a"' in text and 'from    = "rail_end"' in text, "the other end makes room")
    page.clean("an obstacle")
    for _ in range(6):
        page.page.wait_for_selector("#undo:not([disabled])")
        page.page.click("#undo")
        time.sleep(0.1)
    job.until(lambda text: text == before, "all of it is undone")


def trial(job, page):
    """A reading is typed, noted and undone."""
    before = job.text()
    page.go("#/fit/box")
    page.page.wait_for_selector("#fit-what option", state="attached")
    page.page.fill("#fit-is", "28,6")
    page.page.wait_for_selector("#fit-found .finding")
    page.page.fill("#fit-is", "27.6")
    page.page.wait_for_selector(".answerbox .big")
    check(" mm off." in page.page.inner_text(".answerbox"), "it says by how much it is off")
    check(job.text() == before, "nothing changes until it is taken")
    page.clean("a trial fit")
    page.page.click(".answerbox button:has-text('ecord the reading')")
    job.until(lambda text: "[[as_built]]" in text, "the reading is noted")
    page.page.click("#undo")
    job.until(lambda text: text == before, "and undone")


def stock(job, page):
    """A price is changed on the page of the shop."""
    page.go("#/shop")
    price = page.page.locator("input[aria-label$='price each']").first
    price.fill("15.5")
    price.press("Enter")
    job.until(lambda text: "price = 15.5" in text, "the price is in the file")
    page.clean("the shop")
    page.page.wait_for_selector("#undo:not([disabled])")
    page.page.click("#undo")
    job.until(lambda text: "price = 14 " in text, "undone")


def handles(page):
    """A number of the drawing is pointed at and pressed."""
    page.part("ear")
    page.page.wait_for_selector(".flat text[data-handle=reach]")
    page.page.click(".flat text[data-handle=reach]", force=True)
    check(page.page.evaluate("document.activeElement.dataset.key") == "reach", "a number puts the hand into its field")
    check(page.page.locator(".flat text.lit").count() > 0, "what the field makes is lit")


def near(page):
    """A sheet is looked at closely by keys and by the wheel."""
    page.go("#/sheets")
    zoom = lambda: float(page.page.get_attribute(".stage .nest", "data-zoom"))
    page.page.wait_for_selector(".stage .nest[data-zoom]")
    page.page.focus(".stage .nest")
    page.page.keyboard.press("+")
    check(zoom() == 1.5, "plus zooms")
    box = page.page.locator(".stage .nest").bounding_box()
    page.page.mouse.move(box["x"] + 40, box["y"] + 40)
    page.page.keyboard.down("Control")
    page.page.mouse.wheel(0, -200)
    page.page.keyboard.up("Control")
    page.until("Ctrl and the wheel zoom", "Number(document.querySelector('.stage .nest').dataset.zoom) > 2")
    page.page.keyboard.press("0")
    check(zoom() == 1, "0 shows the whole")


def broken(job, page):
    """A job that cannot be read opens as text, and is mended there."""
    good = job.text()
    job.path.write_text(good.replace("[[part]]", "[[part]", 1))
    page.page.wait_for_selector("textarea")
    check("cannot be read" in page.page.inner_text("main"), "it says so")
    page.page.click("button:has-text('Line ')")
    page.page.fill("textarea", good)
    page.page.click("button.main")
    page.page.wait_for_selector(".rows a")
    check(job.text() == good, "it is mended")
    text = 'a = "x"\nb = "y"\nc = "x"\n'
    put = """async ([text, line]) => (await import("/words.mjs")).replaced(text, { place: [line, 5], marked: '"x"' }, "z")"""
    check(page.page.evaluate(put, [text, 2]) is None, "what is no longer in its line is not replaced in another")
    check(page.page.evaluate(put, [text, 3]) == 'a = "x"\nb = "y"\nc = "z"\n', "a value is replaced in its line")


def pictures(page, folder, names, kind):
    for address, name in names:
        page.go(address)
        page.page.wait_for_timeout(900)
        page.page.screenshot(path=str(folder / f"{name}-{kind}.png"), full_page=True)


def main():
    job = Job(sys.argv[1], Path(sys.argv[2]))
    try:
        shots = Path(sys.argv[3]) if len(sys.argv) > 3 else None
        with sync_playwright() as tools:
            browser = tools.chromium.launch(executable_path=browser_path(), args=ARGUMENTS)
            looked_at(job, browser, shots)
            browser.close()
    finally:
        job.run.kill()
        job.run.wait()


def looked_at(job, browser, shots):
    page = Page(browser, job.address, 1400, 980)
    check(page.page.url.startswith(job.home) and "key" not in page.page.url, "the key is not in the address")
    check(page.page.locator(".rows a").count() == 3, "all parts are listed")
    page.clean("the first view")
    other = Page(browser, job.address, 1100, 900, color_scheme="dark")
    change(job, page)
    full(job, page)
    outside(job, page, other)
    other.clean("on dark paper")
    fold(page)
    keyboard(page)
    crowded(job, page)
    refused(job, page)
    impossible(job, page)
    links(job, page)
    machine(job, page)
    trial(job, page)
    stock(job, page)
    handles(page)
    near(page)
    add_and_make(job, page)
    broken(job, page)
    only_read(job, browser)
    phone = Page(browser, job.address, 390, 844, has_touch=True)
    for address in ("#/parts", "#/part/box", "#/part/ear", "#/sheets", "#/order", "#/new", "#/links", "#/machine", "#/fit/box", "#/shop"):
        phone.go(address)
        phone.page.wait_for_timeout(250)
        phone.clean(f"{address} on a phone")
        low = phone.page.evaluate(LOW)
        check(not low, f"{address}: too low to touch {low}")
        if address == "#/sheets":
            phone.page.wait_for_selector(".stage text.no")
            small = [px for px in phone.page.evaluate(NUMBERS) if px < 10]
            check(not small, f"numbers on a phone are too small: {small}")
    if shots:
        views = [("#/part/box", "box"), ("#/part/ear", "ear"), ("#/sheets", "sheets"), ("#/order", "order")]
        views += [("#/new", "new"), ("#/text", "text"), ("#/parts", "parts"), ("#/shop", "shop"), ("#/fit/box", "fit")]
        views += [("#/machine", "machine"), ("#/obstacle/0", "obstacle"), ("#/link/0", "link"), ("#/tube/0", "tube"), ("#/load/0", "load"), ("#/joint/0", "joint"), ("#/tube_end/0", "tube_end")]
        for window, kind in ((page, "light"), (other, "dark"), (phone, "phone")):
            pictures(window, shots, views, kind)
    for window in (page, other, phone):
        left = [url for url in window.asked if not url.startswith(job.home)]
        check(not left, f"requests leave the machine: {left}")
        check(len(window.asked) > 10, "something was asked for")


main()
for words in failed[:40]:
    print(words, file=sys.stderr)
print(f"{passed} facts checked, {len(failed)} wrong")
sys.exit(1 if failed else 0)
