"""Makes the font files and the table of advance widths in `export/fonts`.

Run it from the top of a checkout when a character is missing:

    python tests/make_fonts.py FOLDER_WITH_THE_DEJAVU_FONTS

It takes DejaVu Sans Condensed and its bold (Debian package fonts-dejavu-extra, version 2.37), keeps the
characters a workshop writes in Latin, Greek and Cyrillic script, drops kerning and ligatures (so that a
line is exactly as long as the sum of its advances, in every program) and hinting, and renames the result,
as the licence asks of changed fonts. LICENCE.txt beside the fonts holds the terms.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from fontTools import subset
from fontTools.ttLib import TTFont

FONTS = Path(__file__).parents[1] / "export" / "fonts"
FAMILY = "Pegwright Sans"
FACES = {
    "regular": ("DejaVuSansCondensed.ttf", "PegwrightSans-Regular.ttf"),
    "bold": ("DejaVuSansCondensed-Bold.ttf", "PegwrightSans-Bold.ttf"),
}
RANGES = (
    (0x0020, 0x007E),  # Basic Latin
    (0x00A0, 0x017F),  # Latin-1, Latin Extended-A
    (0x0218, 0x021B),  # Romanian comma below
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x045F),  # Cyrillic
    (0x0490, 0x0491),  # Ukrainian
    (0x1E80, 0x1E85),  # Welsh
    (0x1E9E, 0x1EF9),  # capital sharp s, Vietnamese
    (0x2010, 0x2027),  # dashes, quotation marks, bullet, dots
    (0x2030, 0x203A),  # per mille, primes
    (0x2044, 0x2044),  # fraction slash
    (0x2070, 0x208E),  # raised and lowered figures
    (0x20AC, 0x20AC),  # euro
    (0x2116, 0x2116),  # numero
    (0x2122, 0x2126),  # trade mark, ohm
    (0x2150, 0x215F),  # fractions
    (0x2190, 0x21FF),  # arrows
    (0x2200, 0x22A5),  # mathematics: minus, empty set, angle, root, less or equal
    (0x2300, 0x2300),  # diameter
    (0x25A0, 0x25FF),  # squares, triangles, circles
    (0x2610, 0x2612),  # boxes to tick
    (0x26A0, 0x26A0),  # warning
    (0x2713, 0x2718),  # ticks and crosses
    (0xFFFD, 0xFFFD),  # shown for a character that is not here
)


def shorten(source: Path, target: Path, style: str) -> None:
    """Write the subset of the font file `source` to `target`, under our own family name."""
    options = subset.Options()
    options.layout_features = []
    options.hinting = False
    options.name_IDs = ["*"]
    options.notdef_outline = True
    options.drop_tables = [*options.drop_tables, "GSUB", "GPOS", "GDEF", "kern", "FFTM"]
    names = {1: FAMILY, 2: style, 3: f"{FAMILY} {style}", 4: f"{FAMILY} {style}", 6: target.stem}
    with subset.load_font(str(source), options) as font:
        worker = subset.Subsetter(options)
        worker.populate(unicodes=[code for first, last in RANGES for code in range(first, last + 1)])
        worker.subset(font)
        table = font["name"]
        for record in list(table.names):
            if record.nameID in names:
                place = record.platformID, record.platEncID, record.langID
                table.setName(names[record.nameID], record.nameID, *place)
        # The typographic names would bring the old family back.
        table.names = [record for record in table.names if record.nameID not in {16, 17}]
        font["head"].modified = font["head"].created
        font.recalcTimestamp = False
        font.save(str(target))


def advances(path: Path) -> dict[str, int]:
    """Advance width of every character of a font file, in font units."""
    with TTFont(str(path)) as font:
        return {chr(code): font["hmtx"][name][0] for code, name in sorted(font.getBestCmap().items())}


def table(folder: Path) -> dict[str, Any]:
    """The widths and heights that `export.text` reads, taken from the font files in `folder`."""
    with TTFont(str(folder / FACES["regular"][1])) as font:
        heights = {
            "units": font["head"].unitsPerEm,
            "ascent": font["hhea"].ascent,
            "descent": -font["hhea"].descent,
            "capital": font["glyf"]["H"].yMax,
        }
    return heights | {face: advances(folder / short) for face, (_, short) in FACES.items()}


def main(source: Path, target: Path) -> None:
    """Make the fonts and the table in `target` from the fonts in `source`."""
    for style, (full, short) in FACES.items():
        shorten(source / full, target / short, style.title())
    with TTFont(str(target / FACES["regular"][1])) as font:
        licence = font["name"].getDebugName(13)
    head = (
        f"{FAMILY} is DejaVu Sans Condensed 2.37 with fewer characters, no kerning and no hinting.\n"
        "Its terms, as its makers give them:\n\n"
    )
    (target / "LICENCE.txt").write_text(head + licence.replace("\r\n", "\n").strip() + "\n", encoding="utf-8")
    text = json.dumps(table(target), ensure_ascii=True, separators=(",", ":"))
    (target / "advances.json").write_text(text + "\n", encoding="ascii")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("source", type=Path, help="folder with the fonts to take from")
    parser.add_argument("--target", type=Path, default=FONTS, help="folder to write to")
    arguments = parser.parse_args()
    main(arguments.source, arguments.target)
