"""What is packed and installed: every file, under one name, and it starts."""

from __future__ import annotations

import fnmatch
import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

HOME = Path(__file__).resolve().parents[2]
FOLDERS = ("app", "export", "geometry")
PYPROJECT = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))


def package_folders() -> list[Path]:
    """Folders with an __init__.py, relative to the checkout."""
    return sorted(
        file.parent.relative_to(HOME) for top in FOLDERS for file in (HOME / top).rglob("__init__.py")
    )


def run(*command: str | Path, **environment: str) -> str:
    """What a command prints; its complaints become the failure's message."""
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, env={**os.environ, **environment}
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of what a wheel is built from, so that building leaves nothing in the checkout."""
    copy = tmp_path_factory.mktemp("source")
    for top in FOLDERS:
        shutil.copytree(HOME / top, copy / top, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(HOME / name, copy)
    return copy


@pytest.fixture(scope="module")
def wheel(source: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, source)
    [built] = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    run(
        sys.executable,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--no-index",
        "--target",
        folder,
        wheel,
    )
    return folder


def test_packages_named_are_the_folders_there_are() -> None:
    named = {f"pegwright.{'.'.join(folder.parts)}": folder.as_posix() for folder in package_folders()}
    assert sorted(PYPROJECT["tool"]["setuptools"]["packages"]) == sorted(named)
    assert PYPROJECT["tool"]["setuptools"]["package-dir"] == named


def test_every_module_lies_in_a_package() -> None:
    folders = set(package_folders())
    astray = [
        file.relative_to(HOME).as_posix()
        for top in FOLDERS
        for file in (HOME / top).rglob("*.py")
        if file.parent.relative_to(HOME) not in folders and "fonts" not in file.parts
    ]
    assert astray == []


def test_no_package_or_test_is_left_out_by_its_folder_name(pytestconfig: pytest.Config) -> None:
    """The folder geometry/document is no rubbish, though git and pytest often take that name for it."""
    ignored = (HOME / ".gitignore").read_text(encoding="utf-8").split()
    passed_over = pytestconfig.getini("norecursedirs")
    assert matching_folders(package_folders(), ignored) == []
    tests = {file.parent.relative_to(HOME) for file in (HOME / "tests").rglob("test_*.py")}
    assert matching_folders(sorted(tests), [*ignored, *passed_over]) == []


def matching_folders(folders: list[Path], patterns: list[str]) -> list[str]:
    """Folders of which some part is named by a pattern that holds at any depth."""
    names = [pattern.rstrip("/") for pattern in patterns if "/" not in pattern.rstrip("/")]
    return [
        folder.as_posix()
        for folder in folders
        if any(fnmatch.fnmatch(part, name) for part in folder.parts for name in names)
    ]


def test_wheel_holds_every_file_under_one_name(source: Path, wheel: Path) -> None:
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    files = {
        f"pegwright/{file.relative_to(source).as_posix()}"
        for top in FOLDERS
        for file in (source / top).rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    assert packed == files
    assert "pegwright/app/__main__.py" in packed


def test_installed_command_starts(installed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    version = f"pegwright {PYPROJECT['project']['version']}\n"
    assert run(installed / "bin" / "pegwright", "--version", PYTHONPATH=str(installed)) == version
    assert run(sys.executable, "-m", "pegwright.app", "--version", PYTHONPATH=str(installed)) == version


def test_installed_code_uses_its_own_modules(
    installed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    asked = (
        "import contextlib, importlib.util, pegwright.app.__main__ as start\n"
        "assert importlib.util.find_spec('geometry') is None, 'a stranger is called geometry'\n"
        "with contextlib.suppress(SystemExit): start.main()\n"
        "import app.command_line.program, geometry.trade.drills\n"
        "print(app.command_line.program.__file__, geometry.trade.drills.__file__, sep='\\n')"
    )
    shown = run(sys.executable, "-c", asked, "--version", PYTHONPATH=str(installed)).splitlines()
    assert [Path(line) for line in shown[-2:]] == [
        installed / "pegwright" / "app" / "command_line" / "program.py",
        installed / "pegwright" / "geometry" / "trade" / "drills.py",
    ]


def test_checkout_starts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    version = f"pegwright {PYPROJECT['project']['version']}\n"
    assert run(sys.executable, HOME / "app" / "__main__.py", "--version") == version
    assert run(sys.executable, "-m", "app", "--version", PYTHONPATH=str(HOME)) == version
