"""Preferences, shop and desk: kept in files, and never in the way when those are spoilt."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.document.files import usual_folders
from app.document.settings import MOST_RECENT, Desk, Settings, SettingsStore
from geometry.document.codec import read_shop
from geometry.trade.limits import ChangedLimit
from geometry.trade.shop import PrinterProfile, Shop, default_shop

LIMIT = ChangedLimit("wall", "stop", 3.5, 0.25)
SETTINGS = (
    Settings(theme="dark", font_scale=1.25, grid=False, snap=False, rings=False)
    .with_limits((LIMIT,))
    .measured("DP-1", 4.2)
)


@pytest.fixture
def store(qapp: object, tmp_path: Path) -> SettingsStore:
    return SettingsStore(tmp_path / "config", tmp_path / "state")


def full_disk(handle: int) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def again(store: SettingsStore) -> SettingsStore:
    return SettingsStore(store.config, store.state)


def test_a_first_start_has_usual_settings(store: SettingsStore) -> None:
    assert store.settings == Settings()
    assert store.settings.shop == default_shop()
    assert store.settings.units == "mm"
    assert store.desk == Desk()
    assert store.problem == ""
    assert not store.config.exists()


def test_settings_are_kept(store: SettingsStore, qtbot: QtBot) -> None:
    with qtbot.waitSignal(store.changed) as told:
        store.keep(SETTINGS)
    assert told.args == [SETTINGS]
    assert again(store).settings == SETTINGS
    with qtbot.assertNotEmitted(store.changed):
        store.keep(SETTINGS)


def test_units_belong_to_the_shop_which_the_command_line_reads(store: SettingsStore) -> None:
    store.keep(store.settings.in_units("inch"))
    assert read_shop(store.shop_path.read_bytes()).units == "inch"
    assert again(store).settings.units == "inch"
    assert "shop" not in json.loads((store.config / "settings.json").read_bytes())


def test_the_shop_is_kept(store: SettingsStore) -> None:
    shop = Shop(printers=(PrinterProfile(name="bench", factor_x=1.01),), nut_files=(0.6, 1.1))
    store.keep_shop(shop)
    assert again(store).settings.shop == shop


def test_two_windows_keep_what_each_has_changed(store: SettingsStore) -> None:
    other = again(store)
    store.keep_shop(replace(store.settings.shop, paper="A3"))
    other.keep_shop(replace(other.settings.shop, units="inch"))
    assert (other.settings.shop.paper, other.settings.shop.units) == ("A3", "inch")
    assert again(store).settings.shop == other.settings.shop
    store.keep(replace(store.settings, grid=False))
    other.keep(replace(other.settings, snap=False))
    kept = again(store).settings
    assert (kept.grid, kept.snap, kept.shop) == (False, False, other.settings.shop)


def test_where_two_windows_change_the_same_the_last_word_stands(store: SettingsStore) -> None:
    other = again(store)
    store.keep_shop(replace(store.settings.shop, paper="A3"))
    other.keep_shop(replace(other.settings.shop, paper="Letter"))
    assert again(store).settings.shop.paper == "Letter"


def test_a_slip_made_while_the_window_is_open_is_put_aside_too(store: SettingsStore) -> None:
    store.keep_shop(replace(store.settings.shop, paper="A3"))
    store.shop_path.write_text("a slip")
    store.keep_shop(replace(store.settings.shop, units="inch"))
    assert again(store).settings.shop == store.settings.shop
    assert store.shop_path.with_name("shop.json~").read_text() == "a slip"


def test_who_keeps_a_shop_gets_what_others_have_changed_in_it(store: SettingsStore) -> None:
    other, held = again(store), store.settings.shop
    other.keep_shop(replace(other.settings.shop, paper="A3"))
    held = store.keep_shop(replace(held, units="inch"))
    store.keep_shop(replace(held, kerf=0.2))
    assert (store.settings.shop.paper, again(store).settings.shop.kerf) == ("A3", 0.2)


def test_a_change_that_could_not_be_written_is_not_taken_back_by_what_stands_there(
    store: SettingsStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.keep_shop(replace(store.settings.shop, paper="A3"))
    with monkeypatch.context() as full:
        full.setattr(os, "fsync", full_disk)
        store.keep_shop(replace(store.settings.shop, paper="Letter"))
        assert store.unwritten
    store.keep_shop(replace(store.settings.shop, units="inch"))
    assert (store.settings.shop.paper, store.settings.shop.units) == ("Letter", "inch")
    assert again(store).settings.shop == store.settings.shop


def test_screens_are_remembered_one_by_one() -> None:
    settings = Settings().measured("a", 4.0).measured("b", 5.0).measured("a", 4.5)
    assert (settings.per_mm("a"), settings.per_mm("b"), settings.per_mm("c")) == (4.5, 5.0, None)


@pytest.mark.parametrize(
    "spoilt", [b"", b"{", b'{"theme": "pink"}', b'{"font_scale": 9}', b"\xff\xfe", b"[1]"]
)
def test_spoilt_settings_count_as_never_said(store: SettingsStore, spoilt: bytes) -> None:
    for path in (store.config / "settings.json", store.state / "desk.json"):
        path.parent.mkdir()
        path.write_bytes(spoilt)
    assert again(store).settings == Settings()
    assert again(store).desk == Desk()


def test_fields_of_a_newer_version_are_passed_over(store: SettingsStore) -> None:
    store.config.mkdir()
    (store.config / "settings.json").write_text(json.dumps({"theme": "dark", "sound": True}))
    assert again(store).settings == Settings(theme="dark")


def test_a_shop_with_a_slip_is_told_and_put_aside_before_it_is_written_over(store: SettingsStore) -> None:
    store.config.mkdir()
    store.shop_path.write_text('{"pegwright_shop": 1, "paper": "A9"}')
    other = again(store)
    assert "paper" in other.problem
    assert other.settings.shop == default_shop()
    assert store.shop_path.read_text() == '{"pegwright_shop": 1, "paper": "A9"}'
    other.keep_shop(Shop(paper="A3"))
    assert (store.config / "shop.json~").read_text() == '{"pegwright_shop": 1, "paper": "A9"}'
    assert read_shop(store.shop_path.read_bytes()).paper == "A3"


def test_a_folder_that_cannot_be_written_is_told(qapp: object, tmp_path: Path) -> None:
    (tmp_path / "config").write_text("a file where the folder should be")
    store = SettingsStore(tmp_path / "config", tmp_path / "state")
    store.keep(Settings(theme="dark"))
    assert store.settings.theme == "dark"
    assert str(tmp_path / "config") in store.problem
    assert str(tmp_path / "config") in store.unwritten
    (tmp_path / "config").unlink()
    store.write_waiting()
    assert store.unwritten == ""
    assert again(store).settings.theme == "dark"


@pytest.mark.parametrize("make", [Path.mkdir, os.mkfifo], ids=["a folder", "a pipe"])
def test_in_the_place_of_the_shop_is_no_file(
    store: SettingsStore, make: Callable[[Path], None], qtbot: QtBot
) -> None:
    """It is told, the window works, and what is there is put aside when the shop is kept."""
    store.config.mkdir()
    make(store.shop_path)
    other = again(store)
    assert f"{store.shop_path}: cannot be read" in other.problem
    with qtbot.waitSignal(other.unkept) as told:
        other.keep(other.settings.in_units("inch"))
    assert told.args == [""]
    assert read_shop(store.shop_path.read_bytes()).units == "inch"
    assert not (store.config / "shop.json~").is_file()
    assert os.path.lexists(store.config / "shop.json~")


def test_a_shop_that_nobody_may_read_is_told_and_not_written_over(
    store: SettingsStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.keep_shop(Shop(paper="A3"))
    before = store.shop_path.read_bytes()

    def forbidden(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    for call in ("open", "lstat", "rename"):
        monkeypatch.setattr(os, call, forbidden)
    other = again(store)
    other.keep_shop(Shop(paper="A2"))
    monkeypatch.undo()
    assert f"{store.shop_path}: cannot be read: permission denied" in other.problem
    assert f"{store.shop_path}: cannot be written: permission denied" in other.unwritten
    assert store.shop_path.read_bytes() == before
    assert other.settings.shop == Shop(paper="A2")


def test_what_was_put_aside_earlier_stays(store: SettingsStore) -> None:
    store.config.mkdir()
    for slip in ("first slip", "second slip"):
        store.shop_path.write_text(slip)
        other = again(store)
        other.keep_shop(replace(other.settings.shop, paper="A3"))
    assert (store.config / "shop.json~").read_text() == "first slip"
    assert (store.config / "shop.json~2").read_text() == "second slip"


def test_a_shop_with_a_slip_comes_back_when_the_new_one_cannot_be_written(
    store: SettingsStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.config.mkdir()
    store.shop_path.write_text("a slip")
    other = again(store)

    monkeypatch.setattr(os, "fsync", full_disk)
    other.keep_shop(Shop(paper="A3"))
    assert "no space left" in other.unwritten
    assert [path.read_text() for path in store.config.iterdir()] == ["a slip"]


def test_recent_builds_come_latest_first_once_each_and_ten_at_most(store: SettingsStore) -> None:
    desk = store.desk
    for number in range(12):
        desk = desk.opened(Path(f"/b/{number}.pegwright"))
    desk = desk.opened(Path("/b/5.pegwright"))
    assert len(desk.recent) == MOST_RECENT
    assert [Path(name).stem for name in desk.recent] == ["5", "11", "10", "9", "8", "7", "6", "4", "3", "2"]
    store.keep_desk(replace(desk, panel="strings"))
    assert again(store).desk == replace(desk, panel="strings")


def test_the_usual_folders_are_the_systems(monkeypatch: pytest.MonkeyPatch) -> None:
    config, state = usual_folders()
    assert config.name == "pegwright"
    assert state.name == "pegwright"
