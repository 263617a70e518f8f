"""The pages behind the help menu: how this works, the log, about."""

from __future__ import annotations

from functools import partial
from html import escape
from importlib.resources import files

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from app import VERSION
from app.widgets.boxes import filled
from app.widgets.sizes import fit
from app.window.start_screen import how_lines
from export.catalogue import PACKETS

_tr = partial(QCoreApplication.translate, "Help")


class Page(QDialog):
    """A page to read."""

    def __init__(self, title: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.text = QTextBrowser()
        self.text.setOpenExternalLinks(False)
        self.text.setHtml(html)
        self.text.setAccessibleName(title)
        self.text.document().setDocumentMargin(16)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.buttons.rejected.connect(self.reject)
        filled(QVBoxLayout(self), self.text, self.buttons, margins=(14, 14, 14, 12), spacing=12)
        width, height = self.fontMetrics().averageCharWidth(), self.fontMetrics().height()
        fit(self, width * 88, height * 32)


def how_html() -> str:
    """How this works, with what the mouse does."""
    steps = "".join(f"<li style='margin-bottom:6px'>{escape(line)}</li>" for line in how_lines())
    return (
        f"<h3>{escape(_tr('From an empty bench to a drilled head'))}</h3><ol>{steps}</ol>"
        f"<h3>{escape(_tr('What the mouse does'))}</h3>{table_html(mouse_lines())}"
        f"<h3>{escape(_tr('From your own head'))}</h3>{table_html(own_head_lines())}"
        f"<h3>{escape(_tr('What comes out'))}</h3>{table_html(output_lines())}"
    )


def own_head_lines() -> tuple[tuple[str, str], ...]:
    """The ways in for a head that is there already."""
    return (
        (
            _tr("A photo or a scan"),
            _tr(
                "of the head on the printed sheet of markers, with its thickness; the picture then lies under the "
                "drawing, for the outline to be dragged over it"
            ),
        ),
        (
            _tr("A drawing or a table"),
            _tr("SVG, DXF, or CSV of what calipers say; a length where it does not tell its size"),
        ),
    )


def output_lines() -> tuple[tuple[str, str], ...]:
    """Packets of paper, files for machines and the printed guide."""
    translate = QCoreApplication.translate
    packets = ((translate("Output", each.title), translate("Output", each.about)) for each in PACKETS)
    return (
        *packets,
        (
            _tr("DXF and SVG"),
            _tr(
                "one drawing for a laser or router: a layer and a colour for each thing that is done, outline "
                "open for a neck or closed for a plate"
            ),
        ),
        (
            _tr("3MF and STL"),
            _tr(
                "a drill guide to print in plastic: it lies on the face against the nut, fences hold it, its holes "
                "lead a 2 mm pilot bit or take metal bushings"
            ),
        ),
        (
            _tr("Fingerprint"),
            _tr("eight letters on every page and file: alike only where build, shop and version are"),
        ),
    )


def mouse_lines() -> tuple[tuple[str, str], ...]:
    """What the mouse does on the drawing."""
    return (
        (_tr("Click"), _tr("selects; with Shift one more")),
        (_tr("Drag"), _tr("moves a node, a handle, a run, a post, a region; Esc gives it back")),
        (_tr("Drag on empty ground"), _tr("selects what lies in the box")),
        (_tr("Ctrl while dragging"), _tr("leaves snapping off")),
        (_tr("Click on a dimension"), _tr("takes its number, to type another")),
        (_tr("Double click on the outline"), _tr("adds a node")),
        (_tr("Wheel, pinch"), _tr("zooms where the pointer is")),
        (_tr("Middle button, or space and drag"), _tr("moves the view")),
        (_tr("Arrow keys"), _tr("move what is selected by 0.1 mm; with Shift 1 mm, with Alt 0.01 mm")),
        (_tr("Tab"), _tr("goes from part to part of the head")),
    )


def about_html() -> str:
    """Version, what it is, licence."""
    lines = (
        _tr("Places tuners on a headstock, proves that everything clears, draws it at full scale."),
        _tr("MIT licence. The window is made with Qt through PySide6 (LGPL)."),
        _tr("Limits are workshop practice, not a licence: try each bit on scrap of the same board."),
    )
    told = f"<h2>Pegwright {VERSION}</h2>" + "".join(f"<p>{escape(line)}</p>" for line in lines)
    return told + "".join(f"<hr>{_paragraphs(text)}" for text in licences())


def licences() -> tuple[str, ...]:
    """Our own licence, and what the libraries ask to be told."""
    home = files("app") / "resources" / "licences"
    return tuple((home / name).read_text(encoding="utf-8") for name in ("LICENSE.txt", "NOTICES.txt"))


def _paragraphs(text: str) -> str:
    """A text as paragraphs that fit any width; a line that does not go on from the one before begins its own."""
    parts = (part for block in text.split("\n\n") for part in _entries(block))
    return "".join(f"<p>{escape(part)}</p>" for part in parts)


def _entries(block: str) -> list[str]:
    """The entries of a list whose further lines are indented, or the block as one paragraph."""
    lines = block.splitlines()
    if not any(line.startswith(" ") for line in lines):
        return [" ".join(lines)]
    entries: list[str] = []
    for line in lines:
        if line.startswith(" ") and entries:
            entries[-1] += f" {line.strip()}"
        else:
            entries.append(line.strip())
    return entries


def log_page(log: str, path: str, parent: QWidget) -> Page:
    """The log, with a button that copies it."""
    words = f"<pre>{escape(log)}</pre>" if log else f"<p>{escape(_tr('Nothing went wrong so far.'))}</p>"
    page = Page(_tr("Log"), f"<p>{escape(path)}</p>{words}", parent)
    copy = page.buttons.addButton(_tr("Copy"), QDialogButtonBox.ButtonRole.ActionRole)
    copy.setToolTip(_tr("Put the log on the clipboard"))
    copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(log))
    return page


def table_html(lines: tuple[tuple[str, str], ...]) -> str:
    """Names and what is said of each, as a table."""
    left, right = "padding:3px 24px 3px 0", "padding:3px 0"
    rows = (
        f"<tr><td style='{left}'><b>{escape(name)}</b></td><td style='{right}'>{escape(words)}</td></tr>"
        for name, words in lines
    )
    return f"<table>{''.join(rows)}</table>"
