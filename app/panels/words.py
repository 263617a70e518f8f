"""What choices of the build are called on the screen."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.widgets.kit import capital
from geometry.document.build import SideName
from geometry.document.outline import StarterShape
from geometry.document.row_edits import RuleName
from geometry.search.refitting.refit import Widen
from geometry.trade.string_sets import StringKind


def _tr(text: str) -> str:
    return QCoreApplication.translate("Words", text)


def change_words(what: str) -> str:
    """The label of an act that changes a number, such as "Change depth of the neck"."""
    return _tr("Change {what}").format(what=what[:1].lower() + what[1:])


def shape_words(shape: StarterShape) -> str:
    """The name of a starter."""
    words: dict[StarterShape, str] = {
        "straight-taper": _tr("Straight taper"),
        "waisted": _tr("Waisted"),
        "one-sided": _tr("All on one side"),
        "narrow": _tr("Narrow"),
        "rounded-paddle": _tr("Rounded paddle"),
        "broad-for-plates": _tr("Broad, for plates"),
    }
    return words[shape]


def side_words(side: SideName) -> str:
    """The name of a side."""
    return _tr("Treble side") if side == "treble" else _tr("Bass side")


def kind_words(kind: StringKind) -> str:
    """The name of a kind of string: the word of the file is the one that is shown."""
    return _tr(kind)


def rule_words(rule: RuleName) -> str:
    """The name of a placement rule: that of the file with a capital."""
    return _tr(capital(rule))


def _widen(widen: Widen | None) -> tuple[str, str]:
    words: dict[Widen | None, tuple[str, str]] = {
        None: (_tr("Node by node"), _tr("Each place moves by its own share of the change.")),
        "head": (
            _tr("The whole head"),
            _tr("Each side moves by half of the change, all the way to the tip."),
        ),
        "shoulders": (
            _tr("Only the shoulders"),
            _tr("All of the change at the nut, nothing from the widest place on."),
        ),
        "scale": (_tr("In proportion"), _tr("All measures across grow as the nut does.")),
    }
    return words[widen]


def widen_words(widen: Widen | None) -> str:
    """How an outline follows the nut."""
    return _widen(widen)[0]


def widen_remark(widen: Widen | None) -> str:
    """The same in a sentence."""
    return _widen(widen)[1]
