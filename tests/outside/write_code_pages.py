"""DXF files whose layers have names in old code pages, by Python's own codecs.

    .venv/bin/python tests/outside/write_code_pages.py FOLDER

Writes one file for each page that the header of a DXF may name, with a circle on each of its
layers, and WANTED.json: for each file the names of its layers. A name has a handful of the letters
of its page; those of the pages with letters of one byte have all of them.
"""

import json
import sys
from pathlib import Path

# As headers call them, and as Python does.
PAGES = {f"dos{page}": f"cp{page}" for page in (437, 737, 775, 850, 852, 855, 857, 860, 861, 863, 865, 866, 869)}
PAGES |= {f"ansi_{page}": f"cp{page}" for page in (874, 1250, 1251, 1252, 1253, 1254, 1255, 1256, 1257, 1258)}
PAGES |= {"dos850 ": "cp850", "DOS852": "cp852", "ISO8859-2": "iso8859_2", "iso8859_5": "iso8859_5", "MAC-ROMAN": "mac_roman"}
WIDE = {
    "ANSI_932": ("cp932", ["折り曲げ", "切断線"]),
    "ANSI_936": ("gbk", ["联通", "折弯线", "切割"]),
    "gb2312": ("gbk", ["折弯线"]),
    "ANSI_949": ("cp949", ["절단", "절곡선"]),
    "ksc5601": ("cp949", ["절단"]),
    "ANSI_950": ("cp950", ["切割線", "折彎"]),
    "big5": ("cp950", ["切割線"]),
}


def letters(codec):
    """All letters of a page, eight to a name."""
    found = []
    for byte in range(128, 256):
        letter = bytes([byte]).decode(codec, "ignore")
        if letter.isalpha():
            found.append(letter)
    return ["".join(found[i : i + 8]) for i in range(0, len(found), 8)]


def dxf(page, codec, names):
    """A file of release 14, in which names are in the page of the header."""
    head = f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1014\n9\n$DWGCODEPAGE\n3\n{page}\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
    circles = "".join(f"0\nCIRCLE\n8\n{name}\n10\n{20 * i}\n20\n0\n40\n5\n" for i, name in enumerate(names))
    return (head + f"0\nSECTION\n2\nENTITIES\n{circles}0\nENDSEC\n0\nEOF\n").encode(codec)


if __name__ == "__main__":
    folder, wanted = Path(sys.argv[1]), {}
    for number, (page, codec) in enumerate(PAGES.items()):
        wanted[f"{number}.dxf"] = letters(codec)
        (folder / f"{number}.dxf").write_bytes(dxf(page, codec, letters(codec)))
    for page, (codec, names) in WIDE.items():
        wanted[f"{page}.dxf"] = names
        (folder / f"{page}.dxf").write_bytes(dxf(page, codec, names))
    (folder / "WANTED.json").write_text(json.dumps(wanted), encoding="utf-8")
    print(sum(map(len, wanted.values())))
