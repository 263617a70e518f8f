"""Looks at every page before it is printed or written, and sends it there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.naming import full_name
from app.document.scene import Scene
from app.output.choices import (
    Choices,
    First,
    Prepared,
    first_choices,
    first_pages,
    for_pages,
    job_for,
    machine_job,
    prepared,
    profile_of,
)
from app.output.machine_bar import MachineBar
from app.output.options import OptionsPanel
from app.output.packet_choice import PacketLooker
from app.output.pages_view import PagesView
from app.output.pieces import Foot, Notice, Scrolled, level_line
from app.output.printer_correction import other_printer, rulers_page
from app.output.printer_dialog import PrinterDialog
from app.output.work_dialog import WorkDialog
from app.panels.finding_rows import translated
from app.widgets.boxes import filled
from app.widgets.sizes import fit, letters_across, screen_of
from app.writing.export import Suffix, write_machine_file, write_pages
from export.page import Page
from export.paper import paper_named
from geometry.checks.judge import Level, worst
from geometry.checks.words import headline
from geometry.trade.escapes import on_one_line
from geometry.trade.shop import PrinterProfile, Shop
from geometry.trade.units import INCH


class OutputDialog(WorkDialog):
    """Options, the list of pages, the page as it will print; below, where it goes.

    Nothing waits in the window: pages are drawn and written beside it, printed and shown in small one by one.
    """

    def __init__(
        self,
        scene: Scene,
        shop: Shop,
        keep_shop: Callable[[Shop], Shop],
        *,
        folder: Path,
        file: Path | None = None,
        choices: Choices | None = None,
        today: date | None = None,
        per_mm: float | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """Output of one scene.

        `keep_shop` keeps a shop with other printers and gives it back as it then is, `folder` is where files go at
        first, `file` where the build is kept, `choices` are those of last time, `per_mm` how many
        pixels of the screen make a mm where that was measured.
        """
        super().__init__(scene.build.name, folder, Foot(), parent)
        self._scene, self._shop, self._keep_shop = scene, shop, keep_shop
        self._file = file
        self._today = today or date.today()
        self.prepared: Prepared | None = None
        """The pages, None while they are not drawn."""
        self._drawn: tuple[Choices, Shop] | None = None
        name = full_name(scene.build.name, file) or self.tr("unnamed")
        self.setWindowTitle(self.tr("Print and export — {name}").format(name=on_one_line(name)))
        stopped = worst(scene.findings) is Level.STOP
        self.options = OptionsPanel(
            shop, first_choices(shop, choices, self._today, stopped=stopped), self._today
        )
        self.pages = PagesView(per_mm or screen_of(self).physicalDotsPerInch() / INCH, letters_across(self))
        self.machines = MachineBar()
        self.looker = PacketLooker(self)
        self._packets_of: tuple[Choices, Shop] | None = None
        self._put_together()
        self._connect()
        self._redraw()

    @property
    def choices(self) -> Choices:
        """What is chosen, for the next time."""
        return self.options.choices

    # How it is put together

    def _put_together(self) -> None:
        self.banner = Notice(Level.STOP, self._stop_words(), margin=16, bold=True)
        self.banner.setVisible(bool(self._stop_words()))
        left = QWidget()
        parts = Scrolled(self.options, 46), level_line(), self.machines
        filled(QVBoxLayout(left), *parts, margins=(0, 0, 0, 0), spacing=0)
        left.setFixedWidth(left.sizeHint().width())
        self._fill(left, self.pages, (self.banner,))
        fit(self, 1120, 780)

    def _connect(self) -> None:
        foot, options = self.foot, self.options
        options.changed.connect(self._keep_guide)
        options.changed.connect(self._redraw_if_needed)
        options.changed.connect(lambda choices: self.machines.follow(choices, self._shop.units))
        options.correction_wanted.connect(self._correct)
        options.guide_wanted.connect(self._look_at_guide)
        options.packet.opened.connect(self._look_at_packets)
        self.looker.found.connect(options.packet.show_pages)
        self.machines.wanted.connect(self._save_for_machine)
        self.machines.picked.connect(options.draw_for_machines)
        self.machines.picked.connect(self.pages.turn_to_sheet)
        self.machines.follow(self.choices, self._shop.units)
        self.making.done.connect(self._take)
        self.making.refused.connect(self._refuse)
        foot.again.clicked.connect(self._redraw)
        foot.save.clicked.connect(self._save_pdf)
        foot.print.clicked.connect(self._print)
        self._hear(("Ctrl+S", foot.save.click), ("Ctrl+P", foot.print.click), ("F5", self._redraw))

    # Pages

    def _keep_guide(self, choices: Choices) -> None:
        """The bushing and the kerf are the workshop's: they are there again the next time."""
        shop = replace(self._shop, guide_bushing=choices.guide_bushing, kerf=choices.kerf)
        if shop != self._shop:
            self._shop = self._keep_shop(shop)

    def _redraw_if_needed(self) -> None:
        """Draw again when what is chosen changes the pages, not only the file for a machine."""
        if self._wanted() != self._drawn:
            self._redraw()

    def _wanted(self) -> tuple[Choices, Shop]:
        """What the pages hang on."""
        return for_pages(self.choices), self._shop

    def _redraw(self) -> None:
        """Draw the pages of what is chosen now."""
        self.prepared, self._drawn = None, self._wanted()
        if self._scene.layout.edge is None:
            self.pages.show_nothing(self.tr("The outline has no line yet, so there is nothing to draw."))
            self._allow()
            return
        job = job_for(self._scene, self._shop, self.choices, self._file)
        self._make(self.tr("Drawing the pages…"), lambda _: first_pages(job))

    def _look_at_packets(self) -> None:
        """Find out what comes out of every packet as it is chosen to be printed now."""
        if self._scene.layout.edge is None:
            return
        wanted = (replace(for_pages(self.choices), names=()), self._shop)
        if wanted != self._packets_of:
            self._packets_of = wanted
            self.looker.forget()
            self.options.packet.forget_pages()
        self.looker.look(job_for(self._scene, self._shop, self.choices, self._file))

    def _take(self, ready: First | Prepared) -> None:
        """Show the first pages as soon as they are there, and go on with the others; then all."""
        if isinstance(ready, First):
            if ready.pages:
                self.pages.show_pages(ready.pages)
            self._make(self.tr("Drawing the pages…"), lambda progress: prepared(ready.job, progress, ready))
            return
        self.prepared = ready
        self.options.show_left_out(ready.left_out)
        self.options.show_fingerprint(ready.job.stamp.fingerprint)
        self.foot.say("")
        if ready.pages:
            self.pages.show_pages(ready.pages)
        else:
            self.pages.show_nothing(self.tr("There is no page to print. Choose a sheet at the left."))

    def _refuse(self, why: str) -> None:
        self.foot.say("")
        self.pages.show_nothing(why)

    # Files

    def _save_pdf(self) -> None:
        ready = self.prepared if self._all_reads() else None
        if ready is not None and ready.pages:
            self._save(self.tr("Save PDF"), "", ".pdf", lambda: write_pages(ready.pages, ready.job))

    def _look_at_guide(self) -> None:
        # Loaded when it is asked for: the solids need a library of their own.
        from app.output.guide_dialog import GuideDialog

        GuideDialog(job_for(self._scene, self._shop, self.choices), self).open()

    def _save_for_machine(self, suffix: Suffix) -> None:
        if not self._all_reads():
            return
        job = machine_job(job_for(self._scene, self._shop, self.choices, self._file), self.choices)
        if not job.stopped or self.ask.despite_stop(self._stop_words()):
            part = self.tr("holes") if suffix == ".csv" else self.choices.drawing
            title = self.tr("Save for a machine")
            part = f"FAILS {part}" if job.stopped else part
            self._save(title, f"{part} mm", suffix, lambda: write_machine_file(job, suffix))

    # Printer

    def _print(self) -> None:
        if self._all_reads() and self.prepared is not None and self.prepared.pages:
            profile = profile_of(self._shop, self.choices.printer)
            self._send(self.prepared.pages, profile.name, profile)

    def _send(self, pages: tuple[Page, ...], name: str, carried: PrinterProfile | None = None) -> None:
        """Send pages to the printer with this name, or another one; `carried` is the correction that they have."""

        def allowed(used: str) -> bool:
            doubt = "" if carried is None else other_printer(self._shop, carried, used)
            if not doubt or self.ask.other_printer(doubt):
                return True
            self.foot.say(
                self.tr("Nothing was printed. Choose the printer at the left for its own correction.")
            )
            return False

        self._print_pages(pages, name, on_one_line(self._scene.build.name), allowed)

    def _correct(self) -> None:
        """Open the correction of printers."""
        dialog = PrinterDialog(
            self._shop,
            self.choices.paper,
            profile_of(self._shop, self.choices.printer).name,
            self.ask.installed_printers(),
            self._take_shop,
            self,
        )
        dialog.rulers_wanted.connect(lambda name: self._send((self._rulers(name),), name))
        dialog.rulers_file_wanted.connect(self._save_rulers)
        dialog.open()

    def _rulers(self, name: str) -> Page:
        return rulers_page(paper_named(self.choices.paper), name)

    def _save_rulers(self, name: str) -> None:
        page, job = self._rulers(name), job_for(self._scene, self._shop, self.choices, self._file)
        self._save(self.tr("Save the rulers"), self.tr("rulers"), ".pdf", lambda: write_pages((page,), job))

    def _take_shop(self, shop: Shop, name: str) -> None:
        self._shop = self._keep_shop(shop)
        self.options.show_printers(self._shop, name)

    # What is under way

    def give_up(self) -> None:
        """End what is under way."""
        super().give_up()
        if self.prepared is None:
            self.pages.show_nothing(
                self.tr("The pages are not drawn. Change a choice, or draw them again with F5.")
            )

    def _allow(self) -> None:
        """Offer what can be done now."""
        super()._allow()
        sending = self.writing.busy or self.printing.busy
        head, ready = self._scene.layout.edge is not None, self.prepared is not None
        self.foot.again.setVisible(head and not ready and not self.making.busy)
        for button in (self.foot.save, self.foot.print):
            button.setEnabled(bool(self.prepared and self.prepared.pages) and not sending)
        self.options.look.setEnabled(head)
        for button in self.machines.buttons.values():
            button.setEnabled(head and not sending)

    def _stop_words(self) -> str:
        found = self._scene.findings
        return headline(found, translated) if worst(found) is Level.STOP else ""

    # What Qt calls

    def reject(self) -> None:
        """Close once all that is typed reads: the shop keeps some of it, and nothing is lost unsaid."""
        if self.foot.working or self._all_reads():
            super().reject()

    def done(self, result: int) -> None:
        """Close; no more pages are looked at."""
        self.looker.close()
        super().done(result)
