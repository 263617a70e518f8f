"""Parts of the page on drilling: the bore of a tuner in the wood of the head, and a wood that the table lacks."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers
from app.panels.sentences import sentence, tell
from app.widgets.fields import Choice
from app.widgets.kit import Form, button, capital, column
from export.sheets.schedule import drill_words, off_words
from geometry.bench.bore_fit import Advice, BoreFits, advised, bore_fits, choose, drilled_kinds, felt, ladders
from geometry.bench.fit_words import advice_words, choice_notes, range_words, reason, wood_words
from geometry.document.edits import change_hardware
from geometry.trade.bore_fit import bushing_place, with_drawn_bore
from geometry.trade.hardware import Hardware
from geometry.trade.quantities import length_unit, show_fine
from geometry.trade.shop import OwnWood, Shop, stored_fit, with_fit, without_fit
from geometry.trade.units import Units
from geometry.trade.wood import find_wood, same_wood


class BorePart(QWidget):
    """One kind of tuner at a time. What felt right is kept in the shop, for this wood and bushing, and used here."""

    def __init__(self, session: Session, store: SettingsStore) -> None:
        super().__init__()
        self._session, self._store = session, store
        self._kinds: tuple[Hardware, ...] = ()
        self._shown: tuple[Scene, Shop] | None = None
        self._advice: Advice | None = None
        tr = self.tr
        tip = tr("The kind of tuner that the bore is for")
        self.kind = Choice(tr("Tuner"), tip=tip, told=lambda _: self._show())
        self.bore, self.drill = sentence(bold=True), sentence()
        tip = tr("Draw and drill the bore that suits tuner and wood")
        self.use = button(tr("Use the bore that suits"), tip, self._use)
        self.form = form = Form()
        tip = tr("Drill the ladder of bores into scrap of this board, then tell which one felt right")
        self.felt = form.put(Choice(tr("Felt right on scrap"), tip=tip, told=self._store_fit), below=True)
        tip = tr("Go back to the fit by the hardness of the wood")
        self.forget = form.put(button(tr("Forget this fit"), tip, lambda: self._keep(None)))
        column(self, self.kind, self.bore, self.drill, self.use, form)

    @property
    def hardware(self) -> Hardware | None:
        """The tuner that is shown, None where there is none."""
        chosen = next((each for each in self._kinds if each.key == self.kind.value), None)
        return chosen or next(iter(self._kinds), None)

    # Showing

    def show_bores(self, scene: Scene, kinds: tuple[Hardware, ...], shop: Shop) -> None:
        """Show the bores of these tuners."""
        self._shown, self._kinds = (scene, shop), kinds
        hardware = self.hardware
        self.kind.set_options([(each.key, each.name) for each in kinds])
        self.kind.set_value(hardware.key if hardware else None)
        self.kind.setVisible(len(kinds) > 1)
        self.setVisible(hardware is not None)
        self._show()

    def _show(self) -> None:
        hardware = self.hardware
        if hardware is None or self._shown is None:
            return
        scene, shop = self._shown
        head = scene.build.head
        fits = bore_fits(hardware, head, shop)
        there = hardware.key in drilled_kinds(scene.build)
        self._advice = None if there else advised(hardware, head, shop)
        diameter = show_fine(fits.main.diameter, shop.units)
        tell(self.bore, self.tr("{name}: {bore}").format(name=capital(hardware.name), bore=diameter))
        tell(self.drill, say_bore(hardware, fits, head.wood, shop))
        self.use.setVisible(self._advice is not None)
        if self._advice is not None:
            self.use.setText(capital(advice_words(self._advice, shop.units)))
        self._show_ladder(hardware, scene, shop)

    def _show_ladder(self, hardware: Hardware, scene: Scene, shop: Shop) -> None:
        """The bores to try, and the one that is kept."""
        wood = scene.build.head.wood
        tuner = hardware.bushing is not None and bushing_place(hardware) is not None
        found = ladders(scene.build, scene.layout, shop) if tuner else ()
        rungs = next((each.rungs for each in found if each.hardware.key == hardware.key), ())
        kept = stored_fit(shop.fits, wood, hardware.bushing) if hardware.bushing else None
        options: list[tuple[object, str]] = [(drill.diameter, drill_words(drill)) for drill in rungs]
        if kept is not None and kept.bore not in [value for value, _ in options]:
            options.append((kept.bore, show_fine(kept.bore, shop.units)))
        self.form.setVisible(bool(options))
        self.felt.set_options(options)
        self.felt.setPlaceholderText(self.tr("Not tried yet"))
        self.felt.set_value(None if kept is None else kept.bore)
        self.forget.setVisible(kept is not None)

    # Acts

    def _use(self) -> None:
        if self._advice is not None and self._shown is not None:
            words = advice_words(self._advice, self._shown[1].units)
            self._change(self.tr("Bores: {words}").format(words=words), self._advice.hardware)

    def _change(self, label: str, hardware: Hardware) -> None:
        self._session.act(label, lambda build: change_hardware(build, hardware))

    def _store_fit(self, bore: object) -> None:
        assert isinstance(bore, float), "only diameters are offered"
        self._keep(bore)

    def _keep(self, bore: float | None) -> None:
        """Keep a bore for this wood and bushing in the shop and drill it here, or keep none any more."""
        hardware = self.hardware
        if hardware is None or hardware.bushing is None or self._shown is None:
            return
        head, bushing = self._shown[0].build.head, hardware.bushing
        shop = self._store.settings.shop
        fits = (
            without_fit(shop.fits, head.wood, bushing)
            if bore is None
            else with_fit(shop.fits, head.wood, bushing, bore)
        )
        shop = replace(shop, fits=fits)
        self._store.keep_shop(shop)
        if bore is None:
            untried = replace(hardware, bushing=replace(bushing, tried=None))
            self._change(self.tr("Forget the bore that felt right"), untried)
        elif hardware.key not in drilled_kinds(self._session.build):
            tried = felt(with_drawn_bore(hardware, bore + head.finish_build_up), head.wood, shop)
            self._change(self.tr("The bore that felt right"), tried)


def say_bore(hardware: Hardware, fits: BoreFits, wood: str, shop: Shop) -> list[str]:
    """Whether the bore is inside the fit and where that is from, the drill, and the wood that decides."""
    fit, units = fits.main, shop.units
    choice = choose(fit, shop.drills)
    words = _tr("Inside the fit: {why}; drills of {span} are good.")
    if not fits.suits:
        words = _tr("Outside the fit ({why}); drills of {span} are good.")
    why = reason(fits.wanted, hardware, units)
    said = [words.format(why=why, span=range_words(fits.good, units))]
    if choice is not None:
        off = f"{off_words(choice.difference, units)} {length_unit(units)}"
        nearest = _tr("Nearest drill {drill}: off by {off}.")
        said.append(nearest.format(drill=drill_words(choice.drill), off=off))
    of_wood = wood_words(find_wood(wood, shop.own_woods), wood, units)
    return [*said, *choice_notes(fit, choice, units), _tr("Wood: {wood}.").format(wood=of_wood)]


def _tr(text: str) -> str:
    return QCoreApplication.translate("BorePart", text)


LONGEST = 60
"""Characters of the name of a wood in the shop."""


class WoodPart(QWidget):
    """Numbers of the wood that the head is of, where the table does not have it; hidden else."""

    def __init__(self, store: SettingsStore, units: Units) -> None:
        super().__init__()
        self._store = store
        self._name = ""
        tr = self.tr
        gravity = tr("Dry mass over the volume at 12 % moisture, such as 0.55; hardness is guessed from it")
        janka = tr("Janka hardness, where a table tells it; left empty, it is guessed")
        rupture = tr("Modulus of rupture, where a table tells it; without it no strength is told")
        lines = (
            Line("specific_gravity", tr("Specific gravity"), gravity, "plain", optional=True),
            Line("janka", tr("Hardness"), janka, "force", optional=True),
            Line("modulus_of_rupture", tr("Strength"), rupture, "stress", optional=True),
        )
        self.about, self.form = sentence(), Form()
        self.fields = Numbers(self.form, OwnWood, lines, units, self._keep).fields
        tip = tr("Take it out of the shop again")
        self.forget = self.form.put(button(tr("Forget this wood"), tip, self._forget))
        column(self, self.about, self.form)

    # Showing

    def show_wood(self, name: str, shop: Shop) -> None:
        """Show the wood of that name; an empty name hides everything."""
        self._name = name
        own = self._own(shop)
        missing = find_wood(name, shop.own_woods) is None
        self.setVisible(0 < len(name) <= LONGEST and (missing or own is not None))
        words = self.tr('"{name}" is not in the table: tell what you know of it.') if own is None else ""
        tell(self.about, words.format(name=name))
        for field, made in self.fields.items():
            made.set_value(None if own is None else getattr(own, field))
            # Everything else about a wood is guessed from how heavy it is.
            made.setEnabled(own is not None or field == "specific_gravity")
        self.forget.setVisible(own is not None)

    def _own(self, shop: Shop) -> OwnWood | None:
        return next((wood for wood in shop.woods if same_wood(wood.name, self._name)), None)

    # Acts on the shop

    def _keep(self, line: Line, value: float | None) -> None:
        shop = self._store.settings.shop
        own = self._own(shop)
        if line.field == "specific_gravity" and value is None:
            self._forget()
            return
        if own is None:
            assert value is not None, "only its gravity is asked for first"
            woods = (*shop.woods, OwnWood(name=self._name, specific_gravity=value))
        else:
            changed = replace(own, **{line.field: value})
            woods = tuple(changed if wood is own else wood for wood in shop.woods)
        self._store.keep_shop(replace(shop, woods=woods))

    def _forget(self) -> None:
        shop = self._store.settings.shop
        own = self._own(shop)
        self._store.keep_shop(replace(shop, woods=tuple(wood for wood in shop.woods if wood is not own)))
