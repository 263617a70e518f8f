"""What the window remembers from one day to the next: preferences, the shop, and how the desk was left."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated, Literal, TypeVar

import msgspec
from msgspec import Meta
from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from app.document.files import make_folder, read_if_there, write_whole
from app.document.messages import Refusal
from geometry.document.codec import LARGEST_SHOP, read_shop, write_shop
from geometry.document.error import FileError
from geometry.trade.limits import ChangedLimit
from geometry.trade.shop import Shop, default_shop
from geometry.trade.units import Units

Theme = Literal["system", "light", "dark", "contrast"]
FontScale = Annotated[float, Meta(ge=0.8, le=2.0)]
Kept = TypeVar("Kept", "Settings", "Desk")
Merged = TypeVar("Merged", "Settings", Shop)
PixelsPerMillimetre = Annotated[float, Meta(gt=0.5, lt=100.0)]

MOST_RECENT = 10
"""So many builds are remembered as recent ones."""

_SPOILT = (msgspec.MsgspecError, UnicodeDecodeError, RecursionError)


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
    from_side: bool = False
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
        unkept: why something could not be written, each time it was tried; empty once everything is.
    """

    changed = Signal(object)
    unkept = Signal(str)

    def __init__(self, config: Path, state: Path) -> None:
        """Read what the two folders hold; what cannot be read counts as never said, and `problem` tells so."""
        super().__init__()
        self.config, self.state = config, state
        self.shop_path, self._settings_path = config / "shop.json", config / "settings.json"
        self._problems: list[str] = []
        self._waiting: dict[Path, bytes] = {}
        self._failed: dict[Path, str] = {}
        self._broken_shop = False
        self.settings = replace(self._read(self._settings_path, Settings), shop=self._read_shop())
        self._on_disk = self.settings
        self.desk = self._read(state / "desk.json", Desk)

    @property
    def problem(self) -> str:
        """What of all this could not be read; empty when everything could."""
        return " ".join(self._problems)

    @property
    def unwritten(self) -> str:
        """Why what should be kept could not be written; empty when everything could."""
        return " ".join(dict.fromkeys(self._failed.values()))

    def keep(self, settings: Settings) -> None:
        """Work with other settings from now on; what cannot be written is tried again with the next change.

        What another window, or a hand, has written meanwhile stays where this window has changed nothing.
        """
        if settings == self.settings:
            return
        if settings.shop != self.settings.shop:
            shop = merged(self._on_disk.shop, settings.shop, self._shop_there())
            settings = replace(settings, shop=shop)
            self._waiting[self.shop_path] = write_shop(shop)
        there = replace(self._read_again(), shop=settings.shop)
        settings = merged(replace(self._on_disk, shop=settings.shop), settings, there)
        self.settings = settings
        self._waiting[self._settings_path] = _without_shop(settings)
        self.write_waiting()
        if self.shop_path not in self._waiting:
            self._on_disk = replace(self._on_disk, shop=settings.shop)
        if self._settings_path not in self._waiting:
            self._on_disk = replace(settings, shop=self._on_disk.shop)
        self.changed.emit(settings)

    def keep_shop(self, shop: Shop) -> Shop:
        """Work with another shop from now on; the shop as it is then, with what others have changed in it."""
        self.keep(replace(self.settings, shop=shop))
        return self.settings.shop

    def keep_desk(self, desk: Desk) -> None:
        """Remember how the desk is left."""
        if desk != self.desk:
            self.desk = desk
            self._waiting[self.state / "desk.json"] = msgspec.json.encode(desk)
            self.write_waiting()

    def write_waiting(self) -> None:
        """Write what is not written yet, now or at an earlier time; `unwritten` says what could not be."""
        if not self._waiting:
            return
        for path, data in tuple(self._waiting.items()):
            try:
                make_folder(path)
                self._write(path, data)
                del self._waiting[path]
                self._failed.pop(path, None)
            except OSError as error:
                self._failed[path] = f"{path}: cannot be written: {(error.strerror or str(error)).lower()}."
            except Refusal as refusal:
                self._failed[path] = _sentence(str(refusal))
        self.unkept.emit(self.unwritten)

    def _write(self, path: Path, data: bytes) -> None:
        # Makers write the file of the shop by hand too: one with a slip in it is put aside, never lost.
        aside = _free(path) if path == self.shop_path and self._broken_shop else None
        if aside is not None:
            path.rename(aside)
        try:
            write_whole(path, data)
        except Refusal:
            if aside is not None:
                aside.rename(path)
            raise
        self._broken_shop = self._broken_shop and aside is None

    def _read(self, path: Path, kind: type[Kept]) -> Kept:
        try:
            data = read_if_there(path, LARGEST_SHOP)
            return kind() if data is None else msgspec.json.decode(data, type=kind)
        except Refusal as refusal:
            self._problems.append(_sentence(str(refusal)))
        except _SPOILT:
            pass  # nothing of worth is lost with it, and a first start looks the same
        return kind()

    def _read_again(self) -> Settings:
        """The settings as they are on the disk now; those that are known where they cannot be read or are gone."""
        try:
            data = read_if_there(self._settings_path, LARGEST_SHOP)
            return self._on_disk if data is None else msgspec.json.decode(data, type=Settings)
        except (Refusal, *_SPOILT):
            return self._on_disk

    def _shop_there(self) -> Shop:
        """The shop as it is on the disk now; the one that is known where it cannot be read or is gone."""
        try:
            data = read_if_there(self.shop_path, LARGEST_SHOP)
            return self._on_disk.shop if data is None else read_shop(data)
        except (Refusal, FileError) as error:
            # A slip of the hand since the start is put aside before it is written over.
            self._broken_shop = self._broken_shop or isinstance(error, FileError)
            return self._on_disk.shop

    def _read_shop(self) -> Shop:
        try:
            data = read_if_there(self.shop_path, LARGEST_SHOP)
            return default_shop() if data is None else read_shop(data)
        except (Refusal, FileError) as error:
            self._broken_shop = True
            told = str(error) if isinstance(error, Refusal) else f"{self.shop_path}: {error}"
            self._problems.append(_sentence(told))
            return default_shop()


def merged(before: Merged, here: Merged, there: Merged) -> Merged:
    """What was changed here, and for all that was not what stands there; field by field, from what stood `before`."""
    kept = (name for name in here.__struct_fields__ if getattr(here, name) == getattr(before, name))
    return replace(here, **{name: getattr(there, name) for name in kept})


def _free(path: Path) -> Path:
    """A name beside the path for what is put aside, that nothing has yet."""
    ends = ("~", *(f"~{number}" for number in range(2, 1000)))
    names = (path.with_name(path.name + end) for end in ends)
    return next((name for name in names if not os.path.lexists(name)), path.with_name(f"{path.name}~"))


def _sentence(words: str) -> str:
    return words if words.endswith(".") else f"{words}."


def _without_shop(settings: Settings) -> bytes:
    fields = {name: value for name, value in msgspec.to_builtins(settings).items() if name != "shop"}
    return msgspec.json.format(msgspec.json.encode(fields), indent=2) + b"\n"
