"""`pegwright intake`: a build from a photo, a scan, a drawing or an offset table of a head."""

from __future__ import annotations

import argparse

from app.command_line.common import DONE, refuse_build
from app.command_line.given import length_if_given
from app.command_line.new import finished, fresh_build
from app.command_line.pictures import told_of
from app.document.files import write_whole
from app.document.messages import Refusal, tell
from app.intake.readers import Told, read_head
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from geometry.checks.judge import findings
from geometry.checks.words import headline
from geometry.document.codec import write_build
from geometry.intake.from_drawing import LONGEST, SHORTEST
from geometry.intake.into_build import Wishes, into_build
from geometry.intake.outline_fit import TOLERANCE
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

LEAST_TOLERANCE, MOST_TOLERANCE = 0.01, 2.0
"""mm; nearer than the one wood is not worked, further than the other it is another head."""


def run(chosen: argparse.Namespace) -> int:
    """Write the build, say how it fits and stands, and return the exit code."""
    refuse_build(chosen.output, force=chosen.force)
    units: Units = chosen.units
    nut = length_if_given("--nut", chosen.nut, units, LEAST_NUT, MOST_NUT)
    length = length_if_given("--length", chosen.length, units, SHORTEST, LONGEST)
    tolerance = length_if_given("--tolerance", chosen.tolerance, units, LEAST_TOLERANCE, MOST_TOLERANCE)
    picture = told_of(chosen)
    told = Told(length, nut, chosen.nut_end, chosen.back, units, picture)
    found = read_head(chosen.file, told, units)
    wishes = Wishes(
        tolerance or TOLERANCE,
        nut,
        chosen.symmetric,
        chosen.regions,
        picture.thickness,
        picture.thickness_at_tip,
    )
    width = min(MOST_NUT, max(LEAST_NUT, found.nut_width))
    try:
        taken = into_build(found, fresh_build(chosen, width), wishes)
    except ValueError as error:
        raise Refusal(f"{chosen.file}: {say_note(error, units)}") from None
    build = finished(taken.build, chosen)
    write_whole(chosen.output, write_build(build))
    tell(f"Wrote {chosen.output}. {headline(findings(build))}")
    tell(*(f"  {say_note(note, units)}" for note in taken.notes))
    tell(f"Next: pegwright check {chosen.output}")
    return DONE
