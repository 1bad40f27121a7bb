"""What checks of pages have in common: the browser, and how well words stand out."""

import os
import re
import shutil
import sys

# Without a separate user it may not use its sandbox.
ARGUMENTS = ["--no-sandbox"] if os.geteuid() == 0 else []

# Ink and ground of every element that has words of its own, but those within some others and, where only
# what is shown counts, those that are not or that are off.
COLOURS = """([others, shown]) => {
  const found = [];
  for (const element of document.querySelectorAll("body *")) {
    const words = [...element.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!words || element.closest(others)) continue;
    if (shown && (!element.checkVisibility() || element.disabled)) continue;
    let under = element;
    while (under && getComputedStyle(under).backgroundColor === "rgba(0, 0, 0, 0)") under = under.parentElement;
    const ground = under ? getComputedStyle(under).backgroundColor : "rgb(255, 255, 255)";
    found.push([element.tagName + "." + element.className, getComputedStyle(element).color, ground]);
  }
  return found;
}"""


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
