"""`pegwright hardware` and `pegwright strings`: what is on the shelf."""

from __future__ import annotations

from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.string_sets import STRING_SETS, StringSet, is_wound


def hardware() -> str:
    """The library of tuners, one line each, under a heading that says what the sizes are worth."""
    heads = ("key", "bore", "post", "hole height", "thickness", "mass", "most pull", "most string", "class")
    rows = [heads, *(_hardware_row(each) for each in LIBRARY)]
    lines = ["Typical sizes in mm, g and N: measure yours.", *table(rows)]
    lines.append(
        "Most pull, most string: the hardest pull and thickest string it takes; workshop practice, no source."
    )
    lines.append("Tapered wooden pegs are not supported yet.")
    return "\n".join(lines)


def _hardware_row(each: Hardware) -> tuple[str, ...]:
    bore = f"{each.bore.through:g}"
    if each.bore.counterbore:
        bore += f" / {each.bore.counterbore.diameter:g} x {each.bore.counterbore.depth:g}"
    thickness = f"{each.thickness_least:g} to {each.thickness_most:g}"
    mass = f"{each.body_mass + each.button_mass:g}"
    sizes = (each.key, bore, f"{each.post_diameter:g}", f"{each.hole_height:g}", thickness, mass)
    return *sizes, *(_or_unknown(most) for most in (each.most_pull, each.most_string)), each.name


def _or_unknown(most: float | None) -> str:
    return "-" if most is None else f"{most:g}"


def strings() -> str:
    """The sets of strings, one line each: gauges in mm from the treble side."""
    rows: list[tuple[str, ...]] = [("key", "gauges", "set"), *(_string_row(each) for each in STRING_SETS)]
    return "\n".join(["Gauges in mm, treble first; w = wound.", *table(rows)])


def _string_row(each: StringSet) -> tuple[str, ...]:
    gauges = " ".join(f"{gauge.diameter:.2f}{'w' if is_wound(gauge.kind) else ''}" for gauge in each.gauges)
    return each.key, gauges, each.name


def table(rows: list[tuple[str, ...]]) -> list[str]:
    """Rows of cells as lines with columns in line."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    ]
