"""What a desktop keeps of a program, as files below the folders where it looks for them.

Places and formats are those of freedesktop.org: Desktop Entry, Shared MIME-info Database, Icon Theme and AppStream; the
manual's place is that of `man`, the completions' places are those that the shells name in their own manuals.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

NAME = "org.pegwright.Pegwright"
"""Of the program among all programs of a desktop."""

ICON_SIZES = (16, 22, 24, 32, 48, 64, 128, 256)
"""Sides in pixels of the pictures, those that the icon theme hicolor lists and menus use."""


class Piece(NamedTuple):
    """A file below the folder where a user's desktop keeps data."""

    path: Path
    content: bytes


def pieces(command: Path, parser: argparse.ArgumentParser) -> Iterator[Piece]:
    """Everything that is put into a user's folders.

    `command` is the program that opens the window, `parser` that of all commands.
    """
    home = files("app") / "resources" / "desktop"
    entry = (home / f"{NAME}.desktop").read_text(encoding="utf-8")
    started = re.sub(r"(?m)^Exec=\S+", lambda _: f"Exec={_quoted(command)}", entry)
    drawing = (home / f"{NAME}.svg").read_bytes()
    yield Piece(Path("applications", f"{NAME}.desktop"), started.encode())
    yield Piece(Path("mime", "packages", f"{NAME}.xml"), (home / f"{NAME}.xml").read_bytes())
    about = (home / f"{NAME}.metainfo.xml").read_bytes()
    yield Piece(Path("metainfo", f"{NAME}.metainfo.xml"), about)
    icons = Path("icons", "hicolor")
    yield Piece(icons / "scalable" / "apps" / f"{NAME}.svg", drawing)
    for side in ICON_SIZES:
        yield Piece(icons / f"{side}x{side}" / "apps" / f"{NAME}.png", picture(drawing, side))
    yield Piece(Path("man", "man1", "pegwright.1"), manual(parser).encode())
    places = {
        "bash": Path("bash-completion", "completions", "pegwright"),
        "zsh": Path("zsh", "site-functions", "_pegwright"),
    }
    for shell, text in completions(parser, tuple(places)).items():
        yield Piece(places[shell], text.encode())


def _quoted(command: Path) -> str:
    """A path as the key Exec takes it: in double quotes, with what is special in them and in the key escaped."""
    special = re.sub(r'(["`$\\])', r"\\\1", str(command)).replace("\\", "\\\\")
    return '"{}"'.format(special.replace("%", "%%"))


def picture(drawing: bytes, side: int) -> bytes:
    """An SVG drawing as a PNG picture of `side` x `side` pixels."""
    from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
    from PySide6.QtGui import QImage, QPainter
    from PySide6.QtSvg import QSvgRenderer

    image = QImage(side, side, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    QSvgRenderer(QByteArray(drawing)).render(painter)
    painter.end()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload] # the stubs know only the form with bytes
    return bytes(buffer.data().data())


def manual(parser: argparse.ArgumentParser) -> str:
    """The manual page, made from the options themselves."""
    from argparse_manpage.manpage import Manpage

    page = Manpage(parser)
    page.manual = "Pegwright"
    return str(page) + "\n"


def completions(parser: argparse.ArgumentParser, shells: tuple[str, ...]) -> Mapping[str, str]:
    """For each shell the text that completes commands, options and files."""
    import shtab

    return {shell: str(shtab.complete(parser, shell)) for shell in shells}
