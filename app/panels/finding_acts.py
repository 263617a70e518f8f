"""What can be done at once about a finding: one act that can be undone."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QCoreApplication

from app.document.session import Edit
from geometry.bench.bore_fit import advice
from geometry.bench.fit_words import advice_words
from geometry.checks.judge import Finding, Level
from geometry.document.build import Build
from geometry.document.edits import change_hardware
from geometry.trade.shop import Shop


class FindingAct(msgspec.Struct, frozen=True):
    """The words on the link, the label of the act in the history, and the edit."""

    words: str
    label: str
    edit: Edit


def act_of(finding: Finding, build: Build, shop: Shop) -> FindingAct | None:
    """The act that goes with a finding, None where there is none."""
    if finding.check != "bore fit" or finding.level is Level.FINE:
        return None
    found = advice(build, finding.about[0].key, shop)
    if found is None:
        return None
    words = advice_words(found, shop.units)
    label = QCoreApplication.translate("FindingAct", "Bores: {words}").format(words=words)
    return FindingAct(
        f"{words[:1].upper()}{words[1:]}", label, lambda build: change_hardware(build, found.hardware)
    )
