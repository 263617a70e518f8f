"""Makes the pictures of the README: `python tests/pictures.py` from the top of a checkout.

The window is painted without a screen, in light and dark and on a fine screen; the sheets are pages of a PDF, drawn by
poppler. All are cut down to few colours, so that they stay small.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.window.window import Window

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "sample_builds" / "pictures"
COLOURS = 160
sys.path.insert(0, str(ROOT))


def main() -> None:
    """Make all pictures; those on a fine screen in a process of their own, whose scale is set before Qt starts."""
    if "fine" in sys.argv:
        window_pictures(fine=True)
        return
    window_pictures(fine=False)
    fine = {**os.environ, "QT_SCALE_FACTOR": "2"}
    subprocess.run([sys.executable, __file__, "fine"], env=fine, check=True)
    sheets()
    solid()
    searches()
    photo()


def small(image: Path, name: str, width: int | None = None) -> None:
    """Keep a picture with few colours, `width` pixels wide."""
    from PIL import Image

    with Image.open(image) as opened:
        picture = opened.convert("RGB")
        if width is not None:
            picture = picture.resize(
                (width, round(picture.height * width / picture.width)), Image.Resampling.LANCZOS
            )
        picture.quantize(COLOURS, dither=Image.Dither.NONE).save(OUT / f"{name}.png", optimize=True)


def window_pictures(*, fine: bool) -> None:
    """The first page, a head being worked on, light and dark, and the pages before printing."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from msgspec.structs import replace
    from PySide6.QtWidgets import QApplication

    from app.document.selection import Item
    from app.document.session import Session
    from app.document.settings import SettingsStore
    from app.window.start_screen import suggested
    from app.window.window import Window
    from geometry.document.edits import move_post

    application = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        for theme in ("light",) if fine else ("light", "dark"):
            store = SettingsStore(Path(folder) / theme, Path(folder) / theme)
            store.keep(replace(store.settings, theme=theme))
            session = Session(suggested("straight-taper"))
            window = Window(session, store)
            window.resize(1280, 800)
            window.show()
            _wait(1500)
            if not fine and theme == "light":
                _keep(window, folder, "window-start")
            session.open(ROOT / "sample_builds" / "three-plus-three.pegwright")
            window.show_drawing()
            window.canvas.fit()
            post = session.build.rows[1].posts[1].key
            session.act("Move post 5", partial(move_post, post=post, along=0.0, inward=-4.6))
            session.select((Item("post", post),))
            _wait(500)
            _keep(window, folder, "window-fine" if fine else f"window-{theme}")
            if not fine and theme == "light":
                _show_what_helps(window)
                _keep(window, folder, "window-cures")
                window.canvas.go_back()
                session.open(ROOT / "sample_builds" / "three-plus-three.pegwright")
                _find_the_best(window)
                _keep(window, folder, "window-best")
            session.start(suggested("straight-taper"))
            window.document.recovery.close()
            window.close()
    application.quit()


def _show_what_helps(window: Window) -> None:
    """Choose the worst finding, and wait until its cures are worked out."""
    panel = window.findings
    panel.list.wanted.emit(window.session.scene.findings[0])
    while panel.cures.found is None:
        _wait(50)
    _wait(500)


def _find_the_best(window: Window) -> None:
    """Have the window look for the best placement, until it lies over today's."""
    from PySide6.QtCore import QEventLoop

    from app.panels.best_panel import BestPanel

    window.made["panel best"].trigger()
    panel = window.side.panel("best")
    assert isinstance(panel, BestPanel), "the panel of the search"
    _wait(1000)
    waiting = QEventLoop()
    panel.work.idle.connect(waiting.quit)
    panel.find_button.click()
    waiting.exec()
    _wait(500)


def _wait(milliseconds: int) -> None:
    """Let the window go on, and the threads beside it, which QTest would not."""
    from PySide6.QtCore import QEventLoop, QTimer

    waiting = QEventLoop()
    QTimer.singleShot(milliseconds, waiting.quit)
    waiting.exec()


def _keep(window: object, folder: str, name: str) -> None:
    from PySide6.QtWidgets import QWidget

    assert isinstance(window, QWidget), "a window has a picture"
    raw = Path(folder) / f"{name}.png"
    window.grab().save(str(raw))
    small(raw, name, 1600 if name == "window-fine" else 1000)


WHOLE_PAGE = ("-r", "76")
ROUND_FOUR_HOLES = ("-r", "220", "-x", "205", "-y", "1020", "-W", "930", "-H", "660")


def sheets() -> None:
    """The face and back template, rings close up, the drill guide, and the report of a head that fails."""
    wanted = (
        ("three-plus-three", "face", "face", WHOLE_PAGE),
        ("three-plus-three", "face", "rings", ROUND_FOUR_HOLES),
        ("three-plus-three", "back", "back", WHOLE_PAGE),
        ("six-in-line", "guide", "guide", WHOLE_PAGE),
        ("three-plus-three", "nut", "nut", WHOLE_PAGE),
        ("three-plus-three", "schedule", "schedule", WHOLE_PAGE),
        ("three-plus-three", "cradle", "cradle", WHOLE_PAGE),
        ("fails-string-rubs-post", "report", "report", WHOLE_PAGE),
    )
    with tempfile.TemporaryDirectory() as folder:
        for sample, sheet, name, part in wanted:
            _page(sample, sheet, Path(folder) / name, part)
            small(Path(folder) / f"{name}.png", name)


def solid() -> None:
    """The printed guide as it comes off the bed, shaded by how far its sides are turned to the light."""
    import numpy as np
    from PIL import Image, ImageDraw

    from app import VERSION
    from export.fingerprint import fingerprint
    from export.solid.body import pieces, seen, triangles_of
    from export.solid.plan import plan
    from geometry.document.codec import read_build
    from geometry.layout.layout import lay_out
    from geometry.trade.shop import Shop

    build = read_build((ROOT / "sample_builds" / "three-plus-three.pegwright").read_bytes())
    mark = fingerprint(build, Shop(), VERSION)
    (body,) = pieces(plan(lay_out(build), Shop(), mark), Shop())
    size, scale = 1400, 7.6
    image = Image.new("RGB", (2 * size, size), "white")
    draw = ImageDraw.Draw(image)
    for number, turned_over in enumerate((0.0, np.pi)):
        found = seen(triangles_of([body]), np.radians(200.0), np.radians(42.0) + turned_over)
        flat = found.corners * (scale, -scale) + (size * (number + 0.5), size / 2)
        for places, light in zip(flat.tolist(), found.light.tolist(), strict=True):
            colour = tuple(int(part * light) for part in (222, 200, 160))
            draw.polygon([tuple(place) for place in places], fill=colour, outline=colour)
    with tempfile.TemporaryDirectory() as folder:
        image.save(Path(folder) / "solid.png")
        small(Path(folder) / "solid.png", "solid-guide", 900)


def searches() -> None:
    """The chart of a range of nut widths, and a head compared with its best placement."""
    from app.command_line.program import main as pegwright

    build = str(ROOT / "sample_builds" / "three-plus-three.pegwright")
    with tempfile.TemporaryDirectory() as folder:
        widths, better, compare = (
            Path(folder) / each for each in ("widths.pdf", "b.pegwright", "compare.pdf")
        )
        assert pegwright(["widths", build, "--nut-width", "36:54:1", "-o", str(widths)]) == 0
        assert pegwright(["best", build, "-o", str(better)]) == 0
        assert pegwright(["compare", build, str(better), "-o", str(compare)]) == 0
        for file in (widths, compare):
            _picture(file, file.with_suffix(""), WHOLE_PAGE)
            small(file.with_suffix(".png"), file.stem)


def photo() -> None:
    """The sheet of markers, and what is read from the sample photo: the face square on with its edge and rims."""
    import cv2
    import numpy as np

    from app.command_line.program import main as pegwright
    from app.intake.photo import see_head
    from app.intake.picture_told import PictureTold

    with tempfile.TemporaryDirectory() as folder:
        sheet, read = Path(folder) / "markers.pdf", Path(folder) / "read.png"
        assert pegwright(["intake-sheet", "-o", str(sheet)]) == 0
        _picture(sheet, sheet.with_suffix(""), ("-r", "50"))
        small(sheet.with_suffix(".png"), "markers")
        told = PictureTold(thickness=13.5, measured_ruler=200.0)
        seen = see_head(ROOT / "sample_builds" / "photo-three-plus-three.jpg", told)
        face = (np.clip(seen.face.light, 0, 1) ** (1 / 2.2) * 255).astype(np.uint8)
        edge = np.round(seen.face.pixels(seen.edge + seen.shift) * 16).astype(np.int32)
        cv2.polylines(
            face, [edge], isClosed=False, color=(0, 94, 213), thickness=3, lineType=cv2.LINE_AA, shift=4
        )
        for rim in seen.rims:
            at = seen.face.pixels(np.array([(rim.x, rim.y)]) + seen.shift)[0]
            centre = (round(at[0] * 16), round(at[1] * 16))
            radius = round(rim.diameter / 2 * seen.face.fine * 16)
            cv2.circle(face, centre, radius, (178, 114, 0), 3, cv2.LINE_AA, 4)
        cv2.imwrite(str(read), face)
        small(read, "photo-read", 330)


def _page(sample: str, sheet: str, image: Path, part: tuple[str, ...]) -> None:
    """Write the first page of one sheet of a sample as a picture; its suffix .png is added."""
    from app.command_line.program import main as pegwright

    file = image.with_suffix(".pdf")
    build = ROOT / "sample_builds" / f"{sample}.pegwright"
    assert pegwright(["export", str(build), str(file), "--sheets", sheet]) == 0
    _picture(file, image, part)


def _picture(file: Path, image: Path, part: tuple[str, ...]) -> None:
    command = ["pdftoppm", *part, "-png", "-singlefile", "-f", "1", str(file), str(image)]
    subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
