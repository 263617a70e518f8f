"""The installed command in a real X server, driven by mouse and keyboard from outside.

Where things stand on the screen is asked of a twin of the window in this process: the same size, the same build,
the same style.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import combinations
from pathlib import Path

import pdfplumber
import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication, QWidget

from app.document.recovery import SUFFIX
from app.document.session import Session
from app.document.settings import SettingsStore
from app.window.start_screen import suggested
from app.window.window import Window
from geometry.checks.judge import Level, findings, worst
from geometry.document.build import Build
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point

SIZE = (1280, 800)
PATIENCE = 120.0
"""Seconds after which something that should happen will not."""
AT_REST = 3
"""Ticks of processor time in a second that a window at rest may still take: a cursor blinks."""


class Screen:
    """A virtual screen with nothing on it but the program; no window manager."""

    def __init__(self, folder: Path) -> None:
        """Start the screen, with settings of its own."""
        read, write = os.pipe()
        command = ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{SIZE[0]}x{SIZE[1]}x24", "-dpi", "96"]
        self.server = subprocess.Popen(
            command, pass_fds=[write], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        os.close(write)
        with os.fdopen(read) as stream:
            display = f":{stream.readline().strip()}"
        plain = {name: value for name, value in os.environ.items() if not name.startswith(("QT_", "XDG_"))}
        places = {
            f"XDG_{name}_HOME": str(folder / name.lower()) for name in ("CONFIG", "STATE", "DATA", "CACHE")
        }
        self.environment = {
            **plain,
            **places,
            "DISPLAY": display,
            "QT_QPA_PLATFORM": "xcb",
            "HOME": str(folder),
        }
        self.state = folder / "state"
        self.program: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start the program and wait for its window."""
        installed = Path(sys.executable).with_name("pegwright")
        command = [str(installed)] if installed.exists() else [sys.executable, "-m", "app"]
        self.program = subprocess.Popen(command, env=self.environment, stderr=subprocess.PIPE)
        until(lambda: bool(self.windows()))
        self.settle()

    def settle(self) -> None:
        """Wait until the program waits: asleep for a whole second, however slow or busy the machine is."""
        until(self._waits)

    def _waits(self) -> bool:
        states, times = zip(*(self._main_thread() for _ in range(10)), strict=True)
        return set(states) == {"S"} and times[-1] - times[0] <= AT_REST

    def _main_thread(self) -> tuple[str, int]:
        """State and processor time (ticks) of the program's main thread, a tenth of a second later."""
        assert self.program is not None
        time.sleep(0.1)
        fields = Path(f"/proc/{self.program.pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
        return fields[0], int(fields[11]) + int(fields[12])

    def windows(self) -> list[str]:
        """What can be seen on the screen, besides the screen itself."""
        found = subprocess.run(
            ["xdotool", "search", "--onlyvisible", "--name", "."],
            env=self.environment, capture_output=True, text=True, check=False,
        )  # fmt: skip
        return found.stdout.split()

    def size(self) -> tuple[int, int]:
        """Width and height of the program's only window, which stands at the corner of the screen."""
        (window,) = self.windows()
        found = subprocess.run(
            ["xdotool", "getwindowgeometry", "--shell", window],
            env=self.environment, capture_output=True, text=True, check=True,
        )  # fmt: skip
        told = dict(line.split("=") for line in found.stdout.split())
        assert (told["X"], told["Y"]) == ("0", "0")
        return int(told["WIDTH"]), int(told["HEIGHT"])

    def act(self, *words: str) -> None:
        """One act of mouse or keyboard, and a moment for the program to follow."""
        subprocess.run(["xdotool", *words], env=self.environment, check=True, capture_output=True)
        time.sleep(0.15)

    def click(self, at: QPoint) -> None:
        """Click with the left button."""
        self.act("mousemove", str(at.x()), str(at.y()))
        self.act("click", "1")

    def drag(self, start: QPoint, end: QPoint, steps: int = 8) -> None:
        """Press, move in small steps, let go."""
        self.act("mousemove", str(start.x()), str(start.y()))
        self.act("mousedown", "1")
        for step in range(1, steps + 1):
            place = start + (end - start) * (step / steps)
            self.act("mousemove", str(place.x()), str(place.y()))
        self.act("mouseup", "1")

    def kept(self) -> Build | None:
        """The build that the program keeps for a restart after a crash."""
        for file in self.state.rglob(f"*{SUFFIX}"):
            with suppress(OSError, ValueError, KeyError):
                return read_build(json.dumps(json.loads(file.read_bytes())["build"]).encode())
        return None

    def answer(self, *words: str) -> None:
        """Act until the dialog in front has closed; a slow machine may swallow a key before it listens."""
        before = len(self.windows())

        def closed() -> bool:
            self.act(*words)
            self.settle()
            return len(self.windows()) < before

        until(closed)

    def close(self) -> None:
        """End the program and the screen."""
        for process in (self.program, self.server):
            if process is not None:
                process.kill()
                process.wait()
                if process.stderr is not None:
                    process.stderr.close()


def until(happened: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not happened():
        assert time.monotonic() < end, "it did not happen in time"
        time.sleep(0.1)


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[Screen]:
    for tool in ("Xvfb", "xdotool"):
        assert shutil.which(tool), f"this test needs {tool}"
    made = Screen(tmp_path)
    yield made
    made.close()


@pytest.fixture
def twin(qapp: QApplication, tmp_path: Path) -> Iterator[Window]:
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    window = Window(Session(suggested("straight-taper")), SettingsStore(tmp_path / "twin", tmp_path / "twin"))
    window.show()
    yield window
    window.document.recovery.close()
    window.session.start(suggested("straight-taper"))
    window.close()
    window.deleteLater()
    qapp.setPalette(look[0])
    qapp.setFont(look[1])
    qapp.setStyleSheet(look[2])


def middle_of(widget: QWidget, window: QWidget) -> QPoint:
    return widget.mapTo(window, widget.rect().center())


def on_screen(twin: Window, place: Point) -> QPoint:
    return twin.canvas.mapTo(twin, twin.canvas.view.to_screen(place).toPoint())


def bores_in(path: Path) -> list[Point]:
    """Centres of the bores on the first page, in mm from the page's corner: circles of the bore's size."""
    with pdfplumber.open(path) as document:
        page = document.pages[0]
        boxes = [
            (curve["x0"], curve["x1"], curve["y0"], curve["y1"])
            for curve in page.curves
            if abs((curve["x1"] - curve["x0"]) * 25.4 / 72 - 10.0) < 0.01
            and abs((curve["y1"] - curve["y0"]) * 25.4 / 72 - 10.0) < 0.01
        ]
    return [Point((x0 + x1) / 2 * 25.4 / 72, (y0 + y1) / 2 * 25.4 / 72) for x0, x1, y0, y1 in boxes]


def test_from_a_starter_to_a_printed_template(screen: Screen, twin: Window, tmp_path: Path) -> None:
    build = suggested("straight-taper")
    layout = lay_out(build)
    assert worst(findings(build)) is not Level.STOP
    screen.start()
    twin.resize(*screen.size())

    # The first starter, as it is suggested.
    screen.click(middle_of(twin.start.starters.cards[0], twin))
    until(lambda: len(screen.windows()) > 1)
    screen.settle()
    screen.answer("key", "Return")

    # Drag post 5 over the bass edge, and with it post 2, which mirrors it: something must be at stop in what is kept.
    twin.session.start(build)
    twin.show_drawing()
    twin.canvas.fit()
    post = next(post for post in layout.posts if post.label == "5")
    start = on_screen(twin, post.at)
    screen.drag(start, on_screen(twin, Point(post.at.x - 9.0, post.at.y)))
    until(lambda: (kept := screen.kept()) is not None and worst(findings(kept)) is Level.STOP)
    stopped = screen.kept()
    assert stopped is not None
    pair = {each.key for each in layout.posts if each.label in ("5", "2")}
    assert {moved.post for row in stopped.rows for moved in row.moved} == pair

    # Undo takes it back.
    screen.act("key", "ctrl+z")

    # Print and export: save the PDF.
    out = tmp_path / "head.pdf"
    screen.act("key", "ctrl+p")
    until(lambda: len(screen.windows()) > 1)
    screen.settle()
    before = len(screen.windows())
    screen.act("key", "alt+s")
    until(lambda: len(screen.windows()) > before)
    screen.settle()
    screen.act("key", "ctrl+a")
    screen.act("type", str(out))
    screen.answer("key", "Return")
    until(out.exists)
    time.sleep(0.5)

    # The bores on paper lie to each other as those of the starter.
    found = bores_in(out)
    wanted = [each.at for each in layout.posts]
    assert len(found) == len(wanted)
    between = sorted(one.distance(two) for one, two in combinations(wanted, 2))
    assert sorted(one.distance(two) for one, two in combinations(found, 2)) == pytest.approx(
        between, abs=0.001
    )
    assert screen.program is not None
    assert screen.program.poll() is None
