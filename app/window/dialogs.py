"""The dialogs of the window, each loaded when it is first wanted."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from app.canvas.look import look_of
from app.document.naming import named
from app.widgets.sizes import screen_of
from app.window.shell import Shell
from geometry.checks.outline import outline_is_sound
from geometry.document.outline import StarterShape


def _folder(window: Shell) -> Path:
    """Where files are looked for at first: that of the build, else the maker's own."""
    path = window.session.path
    return path.parent if path else Path.home()


def begin_with(window: Shell, shape: StarterShape) -> None:
    """Ask the few things that matter about a starter, and put it on the bench."""
    from app.window.new_build import NewBuildPage

    page = NewBuildPage(shape, window.store.settings, window.shade, window, window.measured)
    page.may_go_on = window.document.may_leave
    if window.ask(page):
        window.document.start(page.build, asked=True)


def show_own_head(window: Shell) -> None:
    """Ask for the drawing of a head and what it leaves open, and put the head on the bench."""
    from app.window.own_head import OwnHeadPage, ask_drawing

    drawing = ask_drawing(window, _folder(window))
    if drawing is None:
        return
    page = OwnHeadPage(drawing, window.store.settings, window.shade, window)
    page.may_go_on = window.document.may_leave
    if window.ask(page) and page.build is not None:
        window.document.start(page.build, unsaved=True, asked=True)


def show_photo(window: Shell) -> None:
    """Ask for the picture of a head and what it leaves open, put the head on the bench, and say how sure it is."""
    from app.window.photo_page import PhotoPage

    page = PhotoPage(window.store.settings, _folder(window), window)
    page.may_go_on = window.document.may_leave
    if not window.ask(page) or page.begun is None:
        return
    window.document.start(page.begun.build, unsaved=True, asked=True)
    words = page.begun.words
    if page.begun.picture is not None:
        window.canvas.underlay = page.begun.picture
        words += (QCoreApplication.translate("PhotoPage", "The picture lies under the drawing; see View."),)
    window.say(" ".join(words))


def show_drilled(window: Shell) -> None:
    """Hold the drilled holes against their plan, and take over where they are as one act."""
    from app.canvas.underlay import moved, underlay_of
    from app.window.drilled_page import DrilledPage

    window.session.cancel()
    scene = window.session.scene
    if not scene.layout.posts or not outline_is_sound(scene.layout.edge):
        words = QCoreApplication.translate(
            "DrilledPage",
            "Holes are held against a plan: an outline that is closed and does not cross itself, with tuners.",
        )
        window.say(words)
        return
    page = DrilledPage(scene.build, scene.layout, window.store.settings, _folder(window), window)
    if not window.ask(page) or page.answer is None:
        return
    answer = page.answer
    label = QCoreApplication.translate("DrilledPage", "Holes as drilled")
    window.session.act(label, lambda _: answer.build)
    if answer.picture is not None:
        laid = answer.head.besides.laid
        window.canvas.underlay = moved(underlay_of(answer.picture), laid.turn, laid.step)


def show_output(window: Shell) -> None:
    """Preview, print and export."""
    from app.output.output_dialog import OutputDialog

    settings, path = window.store.settings, window.session.path
    window.session.cancel()
    scene = window.session.scene
    dialog = OutputDialog(
        replace(scene, build=named(scene.build, path)),
        settings.shop,
        window.store.keep_shop,
        folder=_folder(window),
        file=path,
        choices=window.choices,
        per_mm=settings.per_mm(screen_of(window).name()),
        parent=window,
    )
    window.ask(dialog)
    window.choices = dialog.choices


def show_compare(window: Shell) -> None:
    """Today's head held against another one."""
    from app.output.compare_dialog import CompareDialog

    settings, path = window.store.settings, window.session.path
    window.session.cancel()
    dialog = CompareDialog(
        named(window.session.build, path),
        settings.shop,
        units=settings.units,
        saved=path,
        folder=_folder(window),
        ask_file=window.document.ask_what_to_open,
        parent=window,
    )
    window.ask(dialog)


def show_widths(window: Shell) -> None:
    """The head for a range of nut widths."""
    from app.output.widths_dialog import WidthsDialog

    settings = window.store.settings
    window.session.cancel()
    dialog = WidthsDialog(
        named(window.session.build, window.session.path),
        settings.shop,
        units=settings.units,
        folder=_folder(window),
        per_mm=settings.per_mm(screen_of(window).name()) or window.canvas.per_mm,
        parent=window,
    )
    window.ask(dialog)


def show_preferences(window: Shell) -> None:
    """Preferences."""
    from app.window.preferences import PreferencesDialog

    window.ask(PreferencesDialog(window.store, window))


def measure_screen(window: Shell) -> None:
    """Ask how large this screen is, and remember it for this screen."""
    from app.canvas.calibrate import Calibration

    dialog = Calibration(window.canvas.per_mm, look_of(window.shade), window)
    if window.ask(dialog):
        screen = screen_of(window).name()
        window.store.keep(window.store.settings.measured(screen, dialog.per_mm))


def show_how(window: Shell) -> None:
    """How this works."""
    from app.window.help import Page, how_html

    window.ask(Page(QCoreApplication.translate("Help", "How this works"), how_html(), window))


def show_log(window: Shell) -> None:
    """What went wrong inside the program."""
    from app.window.help import log_page

    window.ask(log_page(window.log.read(), str(window.log.path), window))


def show_about(window: Shell) -> None:
    """Version and licence."""
    from app.window.help import Page, about_html

    window.ask(Page(QCoreApplication.translate("Help", "About Pegwright"), about_html(), window))
