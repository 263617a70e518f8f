"""Who may import whom, and how long functions and modules may be.

shape < trade < document < layout < checks < search, bench, intake < curing < export < app: an import only goes down,
and so it does from room to room of the program. No files import each other in a circle. Imports inside functions count
as well, and so do those that only types need.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Container, Iterable, Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

HOME = Path(__file__).resolve().parents[2]
LAYERS = {
    "geometry.shape": 0,
    "geometry.trade": 1,
    "geometry.document": 2,
    "geometry.layout": 3,
    "geometry.checks": 4,
    "geometry.search": 5,
    "geometry.bench": 5,
    "geometry.intake": 5,
    "geometry.curing": 6,
    "export": 7,
    "app": 8,
    "app.document": 9,
    "app.desktop": 10,
    "app.writing": 10,
    "app.intake": 10,
    "app.widgets": 11,
    "app.canvas": 12,
    "app.tools": 13,
    "app.panels": 14,
    "app.bench": 15,
    "app.output": 15,
    "app.window": 16,
    "app.command_line": 17,
    "app.__main__": 18,
}
"""A room may import from rooms with a smaller number; app itself holds the version alone."""
SEARCHES = {
    "geometry.search.rings": 0,
    "geometry.search.placing": 1,
    "geometry.search.refitting": 2,
    "geometry.search.answers": 3,
}
"""The same among the searches."""
LIBRARIES = {
    "geometry": {"numpy", "shapely", "msgspec"},
    "geometry.search": {"numpy", "shapely", "msgspec", "scipy"},
    "geometry.intake": {"numpy", "shapely", "msgspec", "scipy", "cv2"},
    "export": {"numpy", "shapely", "msgspec"},
    "export.pdf": {"numpy", "msgspec", "reportlab"},
    "export.dxf": {"numpy", "msgspec", "ezdxf"},
    "export.solid": {"numpy", "shapely", "msgspec", "manifold3d", "lib3mf"},
    "app": {"numpy", "shapely", "msgspec", "platformdirs", "PySide6", "shiboken6"},
    "app.intake": {"numpy", "msgspec", "PIL", "pillow_heif"},
    "app.intake.svg_reader": {"numpy", "svgelements"},
    "app.intake.dxf_reader": {"numpy", "ezdxf"},
    "app.desktop": {"PySide6", "argparse_manpage", "shtab"},
}
LONGEST_FUNCTION = 60
LONGEST_MODULE = 500
FILES = sorted(file for top in ("app", "export", "geometry") for file in (HOME / top).rglob("*.py"))


def dotted(file: Path) -> str:
    """The name by which a file of the checkout is imported."""
    parts = file.relative_to(HOME).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def parsed(source: str) -> ast.Module:
    """The tree of a module, read once for all tests that ask."""
    return ast.parse(source)


SOURCES = {dotted(file): file.read_text(encoding="utf-8") for file in FILES}


def longest_prefix(name: str, known: dict[str, object]) -> str | None:
    """The longest of the known dotted names that `name` is or lies in."""
    parts = name.split(".")
    prefixes = (".".join(parts[:count]) for count in range(len(parts), 0, -1))
    return next((prefix for prefix in prefixes if prefix in known), None)


def imported(tree: ast.Module) -> Iterator[str]:
    """Every name imported anywhere in a module; a relative import comes as a name that begins with a dot."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            module = "." * node.level + (node.module or "")
            yield from (f"{module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in {
            "__import__",
            "importlib.import_module",
        }:
            yield f".{ast.unparse(node)}"


def complaint(module: str, name: str) -> str | None:
    """Why `module` may not import `name`, None when it may."""
    top = name.split(".")[0]
    if top in sys.stdlib_module_names:
        return None
    if top not in {"app", "export", "geometry"}:
        home = longest_prefix(module, dict(LIBRARIES))
        return None if home and top in LIBRARIES[home] else f"{module} imports the library {top or name}"
    own, other = longest_prefix(module, dict(LAYERS)), longest_prefix(name, dict(LAYERS))
    if own is None or other is None:
        return f"{module} imports {name}, one of them in no layer"
    if own == other:
        return within_search(module, name)
    if LAYERS[other] < LAYERS[own]:
        return None
    return f"{module} imports {name}, which does not lie below it"


def within_search(module: str, name: str) -> str | None:
    """Why a search may not import `name`, which is another one or anything else of the same room."""
    own, other = longest_prefix(module, dict(SEARCHES)), longest_prefix(name, dict(SEARCHES))
    if own is None or other is None or SEARCHES[other] <= SEARCHES[own]:
        return None
    return f"{module} imports {name}, which does not lie below it"


def complaints(module: str, source: str) -> list[str]:
    found = (complaint(module, name) for name in imported(parsed(source)))
    return [words for words in found if words]


def length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function, its docstring not counted."""
    lines = (function.end_lineno or 0) - function.lineno + 1
    if ast.get_docstring(function) is None:
        return lines
    docstring = function.body[0]
    return lines - ((docstring.end_lineno or 0) - docstring.lineno + 1)


def long_functions(source: str) -> list[str]:
    functions = (
        node for node in ast.walk(parsed(source)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )
    return [function.name for function in functions if length(function) > LONGEST_FUNCTION]


def circle(imports: Mapping[str, Iterable[str]]) -> list[str]:
    """Modules that import each other in a circle, by what each module imports; empty when there is none."""
    known = {
        module: [name for each in names for name in modules_of(each, imports)]
        for module, names in imports.items()
    }
    try:
        TopologicalSorter(known).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def modules_of(name: str, known: Container[str]) -> Iterator[str]:
    """The module that an import names: itself, or the one it takes a name from."""
    yield from (each for each in (name, name.rpartition(".")[0]) if each in known)


def test_imports_only_go_down() -> None:
    assert [words for module, source in SOURCES.items() for words in complaints(module, source)] == []


def test_no_files_import_each_other_in_a_circle() -> None:
    assert circle({module: [*imported(parsed(source))] for module, source in SOURCES.items()}) == []
    a, b, c = "app.a", "app.b", "app.c"
    assert set(circle({a: ["app.b.thing"], b: [c], c: ["app.a.other"]})) == {a, b, c}
    assert circle({a: ["app.b.thing"], b: [], c: ["app.a.other", b]}) == []


def test_functions_and_modules_stay_short() -> None:
    assert {module: found for module, source in SOURCES.items() if (found := long_functions(source))} == {}
    assert [module for module, source in SOURCES.items() if len(source.splitlines()) > LONGEST_MODULE] == []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("geometry.shape.arc", "from geometry.trade import drills"),
        ("geometry.shape.arc", "def late():\n    from geometry.document.build import Build"),
        ("geometry.search.placing.best", "import geometry.bench.cradle"),
        ("geometry.search.rings.slack", "from geometry.search.placing.best import best"),
        ("geometry.trade.wood", "import export"),
        ("geometry.trade.wood", "import geometry"),
        ("geometry.trade.wood", "from . import drills"),
        ("geometry.trade.wood", "import importlib\nimportlib.import_module('app')"),
        ("geometry.trade.wood", "import scipy.optimize"),
        ("geometry.checks.wall", "def late():\n    import PySide6.QtGui"),
        ("export.svg", "from reportlab.pdfgen import canvas"),
        ("export.pdf", "import ezdxf"),
        ("export.page", "from app.command_line.program import main"),
        ("app.window.window", "import reportlab"),
        ("app.canvas.canvas", "from app.tools.select import SelectTool"),
        ("app.document.session", "if TYPE_CHECKING:\n    from app.window.window import Window"),
    ],
)
def test_a_wrong_import_is_found(module: str, source: str) -> None:
    assert len(complaints(module, source)) == 1


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("geometry.trade.wood", "from geometry.shape.point import Point\nimport math, numpy"),
        ("geometry.trade.wood", "from geometry.trade import drills"),
        ("geometry.search.placing.best", "def late():\n    from scipy import optimize"),
        ("export.pdf", "from reportlab.pdfgen import canvas"),
        ("app.command_line.program", "from export.pdf import write_pdf"),
    ],
)
def test_a_right_import_passes(module: str, source: str) -> None:
    assert complaints(module, source) == []


def test_a_long_function_is_found() -> None:
    body = "    pass\n" * LONGEST_FUNCTION
    assert long_functions(f"def lengthy():\n{body}") == ["lengthy"]
    assert long_functions(f'def told():\n    """Says."""\n{body[9:]}') == []


def test_command_line_starts_without_the_slow_libraries() -> None:
    asked = (
        "import sys, app.command_line.program\n"
        "print(*sorted({'ezdxf', 'reportlab', 'scipy', 'svgelements', 'PySide6'} & set(sys.modules)), end='')"
    )
    done = subprocess.run([sys.executable, "-c", asked], cwd=HOME, capture_output=True, text=True, check=True)
    assert done.stdout == ""


# One way out for words that came from a file


def calls(source: str, *names: str) -> bool:
    """Whether a module calls one of these by its plain name."""
    return any(
        isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names
        for node in ast.walk(parsed(source))
    )


def test_words_reach_terminals_and_labels_through_one_place_each() -> None:
    """Elsewhere a name from a file could steer a terminal, or be taken for mark-up."""
    assert calls("print(1)", "print")
    printing = [module for module, source in SOURCES.items() if calls(source, "print")]
    assert printing == ["app.document.messages"]
    labels = [module for module, source in SOURCES.items() if calls(source, "QLabel")]
    assert labels == ["app.panels.sentences"], "others show words as they are: PlainLabel"


def test_every_dialog_is_waited_for_in_one_place() -> None:
    """Elsewhere one that was answered would be left to Python's collector, which destroys it amid what Qt does."""
    waiting = [
        module
        for module, source in SOURCES.items()
        for node in ast.walk(parsed(source))
        if isinstance(node, ast.Attribute) and node.attr in {"exec", "exec_"}
    ]
    assert waiting == ["app.document.question", "app.window.opening"], (
        "the second one is the program's own loop"
    )
