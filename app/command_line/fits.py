"""`pegwright fits`: which tuners of the library go into the bores of a head."""

from __future__ import annotations

import argparse

from app.command_line.common import DONE, STOPPED
from app.command_line.lists import table
from app.document.files import load_build
from app.document.messages import Refusal, tell
from geometry.document.build import Build
from geometry.search.answers.fitting import BUSH_FILLS, DROPS_IN, Fit, fits
from geometry.search.answers.fitting_words import say_sight, say_work
from geometry.trade.bore_fit import REAMED
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

HEADS = ("key", "verdict", "at stop", "in sight", "bores")


def run(chosen: argparse.Namespace) -> int:
    """Print a table for each set of rows that share their tuners; 0 when some model goes in without a plug."""
    build = load_build(chosen.file)
    found = fits(build)
    if not found:
        raise Refusal(f"{chosen.file}: no row of tuners has its place on the head, so there are no bores.")
    tell(f"{chosen.file}: tuners of the library (typical sizes: measure yours) in the bores as drilled.")
    for rows in dict.fromkeys(fit.rows for fit in found):
        tell(*_block(build, [fit for fit in found if fit.rows == rows], chosen.units))
    tell(
        f"drops in: the same within {show_length(DROPS_IN, chosen.units)}, or a press in this wood; "
        f"ream: up to {show_length(REAMED, chosen.units)}; "
        f"bush down: up to {show_length(BUSH_FILLS, chosen.units)} too wide; "
        "at stop: findings with these tuners in; in sight: old holes that nothing covers."
    )
    good = any(fit.verdict != "plug" and not fit.stops for fit in found)
    return DONE if good else STOPPED


def _block(build: Build, group: list[Fit], units: Units) -> list[str]:
    row = next(row for row in build.rows if row.key == group[0].rows[0])
    today = next(each for each in build.hardware if each.key == row.hardware)
    labels = [post.label for post in group[0].layout.posts if post.row in group[0].rows]
    rows = [HEADS, *(_row(fit, units) for fit in group)]
    return [
        f"Bores {', '.join(labels)}, now with {today.name or today.key}:",
        *(f"  {x}" for x in table(rows)),
    ]


def _row(fit: Fit, units: Units) -> tuple[str, ...]:
    stops = str(len(fit.stops)) if fit.stops else "-"
    return fit.model.key, fit.verdict, stops, say_sight(fit), say_work(fit, units)
