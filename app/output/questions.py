"""The dialogs of the system that an output needs, one method each, and what written files are called."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo
from PySide6.QtWidgets import QMessageBox, QWidget

from app.document.naming import plain_name
from app.document.question import answered, ask_where, confirmed
from app.writing.export import Suffix

_tr = partial(QCoreApplication.translate, "Questions")


class Questions:
    """Asks the maker; whoever wants other answers puts another object in its place."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def path(self, title: str, suggested: Path, suffix: Suffix) -> Path | None:
        """Where to write a file with this suffix; None when the maker thinks better of it."""
        return ask_where(self._parent, title, suggested, kind_of(suffix), suffix)

    def printer(self, printer: QPrinter, count: int) -> bool:
        """Which printer, which of `count` pages, how often; False when the maker thinks better of it."""
        dialog = QPrintDialog(printer, self._parent)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
        dialog.setMinMax(1, count)
        return answered(dialog)

    def other_printer(self, words: str) -> bool:
        """Whether pages with the correction of one printer shall go to another one; `words` name both."""
        more = _tr("Their lengths may come out wrong. Print them all the same?")
        title, kind = _tr("Another printer"), QMessageBox.ButtonRole.AcceptRole
        return confirmed(self._parent, title, words, more, _tr("&Print them"), kind=kind)

    def despite_stop(self, words: str) -> bool:
        """Whether a machine shall get a head that cannot be drilled; `words` say so."""
        more = _tr("A file for a machine shows no banner. Write it all the same?")
        return confirmed(self._parent, _tr("Something is at stop"), words, more, _tr("&Write it"))

    def installed_printers(self) -> list[str]:
        """The names of this computer's printers."""
        return QPrinterInfo.availablePrinterNames()


def suggested(folder: Path, build: str, part: str, suffix: Suffix) -> Path:
    """A file named after the build and the part of it, with nothing in it that some system refuses."""
    return folder / f"{f'{plain_name(build)} {part}'.strip()}{suffix}"


def kind_of(suffix: Suffix) -> str:
    """The kind of file, as a file dialog takes it."""
    kinds: dict[Suffix, str] = {
        ".pdf": QCoreApplication.translate("Output", "PDF (*.pdf)"),
        ".dxf": QCoreApplication.translate("Output", "DXF (*.dxf)"),
        ".svg": QCoreApplication.translate("Output", "SVG (*.svg)"),
        ".csv": QCoreApplication.translate("Output", "Table (*.csv)"),
        ".3mf": QCoreApplication.translate("Output", "3MF (*.3mf)"),
        ".stl": QCoreApplication.translate("Output", "STL (*.stl)"),
    }
    return kinds[suffix]
