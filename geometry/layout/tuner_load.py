"""Whether tuners take the strings of a build: how hard these pull, and how thick they are."""

from __future__ import annotations

from geometry.document.build import Build
from geometry.layout.string_loads import StringLoad, string_loads
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware
from geometry.trade.quantities import ESTIMATE, show_force, show_gauge
from geometry.trade.units import Units


def too_much(build: Build, hardware: Hardware) -> tuple[StringLoad, ...]:
    """The strings that a kind of tuner does not take, treble-most first.

    A pull that is not known counts as none, and so does a limit that nobody knows. Estimated pulls count as
    they are told.
    """
    return tuple(load for load in string_loads(build) if not _takes(hardware, load))


def _takes(hardware: Hardware, load: StringLoad) -> bool:
    pull, thick = hardware.most_pull, hardware.most_string
    pulls = pull is None or load.told_pull is None or load.told_pull <= pull + SAME
    return pulls and (thick is None or load.string.diameter <= thick + SAME)


def say_most(hardware: Hardware, units: Units) -> str:
    """The hardest pull and the thickest string that tuners take, in a few words; empty where neither is known."""
    pull, thick = hardware.most_pull, hardware.most_string
    known = [] if pull is None else [show_force(pull, units, ESTIMATE)]
    known += [] if thick is None else [show_gauge(thick, units)]
    return f"strings of up to {' and '.join(known)} (workshop practice, no source)" if known else ""
