"""The correction of a printer: what it does to lengths, found with a steel rule and taken back."""

from __future__ import annotations

from functools import partial
from typing import Literal

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from app.document.messages import Refusal
from export.drawing import Drawing, Sheet
from export.furniture import frame
from export.page import Page, paginate
from export.paper import Paper, Stamp
from export.ruler import inches_beside
from geometry.shape.segment import Bounds
from geometry.trade.escapes import on_one_line
from geometry.trade.quantities import show_length
from geometry.trade.shop import LEAST_FACTOR, MOST_FACTOR, PrinterProfile, Shop
from geometry.trade.units import INCH, Units

Axis = Literal["across", "up"]

_tr = partial(QCoreApplication.translate, "Correction")


def factor(wanted: float, measured: float, units: Units = "mm") -> float:
    """What lengths are multiplied by so that `wanted` mm come out, when `measured` mm did.

    Refusal, with both lengths in `units`, when it is not between 0.95 and 1.05.
    """
    found = wanted / measured if measured > 0 else 0.0
    if LEAST_FACTOR <= found <= MOST_FACTOR:
        return found
    sentence = _tr(
        "{measured} instead of {wanted} is no fault of the printer: the page was fitted to the paper. Print it at "
        "100 % (actual size) and measure again."
    )
    raise Refusal(sentence.format(measured=show_length(measured, units), wanted=show_length(wanted, units)))


def rulers_of(paper: Paper, units: Units) -> dict[Axis, float]:
    """The lengths in mm that both rulers of the page for measuring show, at their last whole marks in these units."""
    shown = frame(_SHEET, paper, _stamp(paper, ""))
    if units == "inch":
        return {"across": inches_beside(shown.across) * INCH, "up": inches_beside(shown.up) * INCH}
    return {"across": shown.across, "up": shown.up}


def rulers_page(paper: Paper, name: str) -> Page:
    """The page for measuring: both rulers, not corrected."""
    (page,) = paginate(_SHEET, _stamp(paper, name))
    return page


def other_printer(shop: Shop, carried: PrinterProfile, used: str) -> str:
    """What is wrong with pages that carry the correction of one printer on another one, called `used`; else nothing.

    A printer that the shop does not know has not been measured, and wants no correction.
    """
    wanted = next((each for each in shop.printers if each.name == used), None)
    factors = (1.0, 1.0) if wanted is None else (wanted.factor_x, wanted.factor_y)
    if used in ("", carried.name) or factors == (carried.factor_x, carried.factor_y):
        return ""
    words = _tr("The pages carry the correction of {name} ({factors}), and you chose {used}.")
    return words.format(name=on_one_line(carried.name), factors=carried.correction, used=on_one_line(used))


def with_printer(shop: Shop, profile: PrinterProfile) -> Shop:
    """The shop with this printer, in the place of one of the same name or as its last."""
    known = {each.name: each for each in shop.printers}
    return replace(shop, printers=tuple((known | {profile.name: profile}).values()))


def without_printer(shop: Shop, name: str) -> Shop:
    """The shop without a printer; the last one that a shop has stays."""
    left = tuple(each for each in shop.printers if each.name != name)
    return replace(shop, printers=left) if left else shop


def _stamp(paper: Paper, name: str) -> Stamp:
    return Stamp(build="Printer correction", paper=paper, printer=PrinterProfile(name=name))


_SHEET = Sheet(
    "rulers",
    "Rulers to measure",
    Bounds(0.0, 0.0, 1.0, 1.0),
    Drawing(),
    notes=("Read both rulers with a steel rule, to a tenth of a millimetre. This page is not corrected.",),
)
