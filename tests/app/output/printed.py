"""What a maker would answer, and pages read back as pictures."""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot

from app.document.question import with_suffix
from app.document.scene import Scene
from app.output.choices import Choices, job_for, usual_choices
from app.output.questions import kind_of
from app.output.work_dialog import WorkDialog
from app.writing.export import Job, Suffix, made, pages_of
from export.page import Page
from geometry.trade.shop import Shop
from tests.builds import change

Ink = NDArray[np.bool_]

DAY = date(2026, 11, 25)

SOON = 30_000
"""Milliseconds in which any work of a test is done."""


class Answers:
    """What a maker would answer, and what was asked."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.place: Path | None = folder / "out"
        self.prints = True
        self.despite = True
        self.other = True
        self.installed: list[str] = []
        self.used = ""
        self.asked: list[str] = []

    def path(self, title: str, suggested: Path, suffix: Suffix) -> Path | None:
        """The place, whatever is suggested."""
        self.asked.append(f"{title}: {suggested.name}: {kind_of(suffix)}")
        return None if self.place is None else with_suffix(self.place, suffix)

    def printer(self, printer: QPrinter, count: int) -> bool:
        """A printer that prints into a file."""
        self.asked.append(f"printer: {count}")
        if self.used:
            printer.setPrinterName(self.used)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(self.folder / "printed.pdf"))
        return self.prints

    def other_printer(self, words: str) -> bool:
        """Yes or no."""
        self.asked.append(words)
        return self.other

    def despite_stop(self, words: str) -> bool:
        """Yes or no."""
        self.asked.append(words)
        return self.despite

    def installed_printers(self) -> list[str]:
        """Printers of this computer."""
        return self.installed


def rest(qtbot: QtBot, dialog: WorkDialog) -> None:
    """Wait until nothing is under way beside the window."""
    qtbot.waitUntil(lambda: not dialog.making.busy and not dialog.writing.busy, timeout=SOON)


def job_of(scene: Scene, shop: Shop, **fields: object) -> Job:
    choices: Choices = change(usual_choices(shop, DAY), **fields)
    return job_for(scene, shop, choices)


def pages(scene: Scene, shop: Shop, **fields: object) -> tuple[Page, ...]:
    job = job_of(scene, shop, **fields)
    return pages_of(made(job).sheets, job.stamp)


def ink_of_pdf(data: bytes, page: int, per_mm: float) -> Ink:
    """Where a page of a PDF is dark, as another library draws it."""
    document = pypdfium2.PdfDocument(io.BytesIO(data))
    grey = document[page].render(scale=per_mm * 25.4 / 72, grayscale=True).to_numpy()
    document.close()
    ink: Ink = grey.reshape(grey.shape[0], grey.shape[1]) < 140
    return ink


def spread(ink: Ink, by: int = 1) -> Ink:
    """The dark places and their neighbours within `by` pixels."""
    wide = np.pad(ink, by)
    steps = range(2 * by + 1)
    high, broad = ink.shape
    grown: Ink = np.any([wide[y : y + high, x : x + broad] for y in steps for x in steps], axis=0)
    return grown


def strays(ink: Ink, other: Ink, by: int = 1) -> float:
    """Which share of the dark places has nothing dark near it in the other picture."""
    high, broad = min(ink.shape[0], other.shape[0]), min(ink.shape[1], other.shape[1])
    ink, other = ink[:high, :broad], other[:high, :broad]
    return float((ink & ~spread(other, by)).sum() / ink.sum())
