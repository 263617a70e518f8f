"""What the window remembers from one day to the next: preferences, the shop, and how the desk was left."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal, TypeVar

import msgspec
from msgspec import Meta
from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from app.document.files import write_whole
from app.document.messages import Refusal
from geometry.trade.limits import ChangedLimit
from geometry.trade.shop import LARGEST_FILE, Shop, ShopError, default_shop, read_shop, write_shop
from geometry.trade.units import Units

Theme = Literal["system", "light", "dark"]
FontScale = Annotated[float, Meta(ge=0.8, le=2.0)]
Kept = TypeVar("Kept", "Settings", "Desk")
PixelsPerMillimetre = Annotated[float, Meta(gt=0.5, lt=100.0)]

MOST_RECENT = 10
"""So many builds are remembered as recent ones."""


class ScreenScale(msgspec.Struct, frozen=True, gc=False):
    """How many device-independent pixels of a screen, by its name, make a millimetre, as measured by the maker."""

    screen: str
    per_mm: PixelsPerMillimetre


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """Preferences of the maker; `shop` is kept in a file of its own, which the command line reads too."""

    theme: Theme = "system"
    font_scale: FontScale = 1.0
    grid: bool = True
    snap: bool = True
    rings: bool = True
    screens: tuple[ScreenScale, ...] = ()
    shop: Shop = msgspec.field(default_factory=default_shop)

    @property
    def units(self) -> Units:
        """What lengths are shown and typed in."""
        return self.shop.units

    @property
    def limits(self) -> tuple[ChangedLimit, ...]:
        """The limits that new builds begin with."""
        return self.shop.limits

    def with_limits(self, limits: tuple[ChangedLimit, ...]) -> Settings:
        """The same with other limits for new builds."""
        return replace(self, shop=replace(self.shop, limits=limits))

    def in_units(self, units: Units) -> Settings:
        """The same with lengths shown in other units."""
        return replace(self, shop=replace(self.shop, units=units))

    def per_mm(self, screen: str) -> float | None:
        """Pixels in a millimetre of a screen, None when nobody has measured it."""
        return next((each.per_mm for each in self.screens if each.screen == screen), None)

    def measured(self, screen: str, per_mm: float) -> Settings:
        """The same with one screen measured."""
        others = tuple(each for each in self.screens if each.screen != screen)
        return replace(self, screens=(*others, ScreenScale(screen, per_mm)))


class Desk(msgspec.Struct, frozen=True, kw_only=True):
    """How the window was left: recent builds, its place and docks (as Qt writes them, in base 64), the open panel."""

    recent: tuple[str, ...] = ()
    geometry: str = ""
    docks: str = ""
    panel: str = ""

    def opened(self, path: Path) -> Desk:
        """The same with one build as the most recent."""
        name = str(path.absolute())
        others = (each for each in self.recent if each != name)
        return replace(self, recent=(name, *others)[:MOST_RECENT])


class SettingsStore(QObject):
    """Holds settings and desk and writes each change at once.

    Signals:
        changed: the new Settings.
    """

    changed = Signal(object)

    def __init__(self, config: Path, state: Path) -> None:
        """Read what the two folders hold; what cannot be read counts as never said, and `problem` tells so."""
        super().__init__()
        self.config, self.state = config, state
        self.problem = ""
        self._broken_shop = False
        self.settings = replace(_read(config / "settings.json", Settings), shop=self._read_shop())
        self.desk = _read(state / "desk.json", Desk)

    @property
    def shop_path(self) -> Path:
        """The file of the shop."""
        return self.config / "shop.json"

    def keep(self, settings: Settings) -> None:
        """Work with other settings from now on; `problem` tells when they could not be written."""
        if settings == self.settings:
            return
        if settings.shop != self.settings.shop:
            self._write_shop(settings.shop)
        self.settings = settings
        self._write(self.config / "settings.json", _without_shop(settings))
        self.changed.emit(settings)

    def keep_shop(self, shop: Shop) -> None:
        """Work with another shop from now on."""
        self.keep(replace(self.settings, shop=shop))

    def keep_desk(self, desk: Desk) -> None:
        """Remember how the desk is left."""
        if desk != self.desk:
            self.desk = desk
            self._write(self.state / "desk.json", msgspec.json.encode(desk))

    def _read_shop(self) -> Shop:
        if not self.shop_path.exists():
            return default_shop()
        try:
            return read_shop(self.shop_path)
        except ShopError as error:
            self._broken_shop = True
            self.problem = f"{self.shop_path}: {error}"
            return default_shop()

    def _write_shop(self, shop: Shop) -> None:
        # Makers write this file by hand too: one with a slip in it is put aside, never lost.
        if self._broken_shop:
            aside = self.shop_path.with_name("shop.json~")
            self._write(aside, self.shop_path.read_bytes())
            self._broken_shop = False
        self._write(self.shop_path, write_shop(shop))

    def _write(self, path: Path, data: bytes) -> None:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
        except (OSError, Refusal) as error:
            self.problem = str(error)


def usual_folders() -> tuple[Path, Path]:
    """The folders of settings and of state where this system keeps them."""
    from platformdirs import user_config_path, user_state_path

    return user_config_path("pegwright", appauthor=False), user_state_path("pegwright", appauthor=False)


def _read(path: Path, kind: type[Kept]) -> Kept:
    try:
        with path.open("rb") as stream:
            return msgspec.json.decode(stream.read(LARGEST_FILE), type=kind)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        # Nothing of worth is lost with it, and a first start looks the same.
        return kind()


def _without_shop(settings: Settings) -> bytes:
    fields = {name: value for name, value in msgspec.to_builtins(settings).items() if name != "shop"}
    return msgspec.json.format(msgspec.json.encode(fields), indent=2) + b"\n"
