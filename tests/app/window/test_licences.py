"""What the page about the program owes to others."""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError, distribution

from app.window.help import about_html, licences


def needed(name: str, known: frozenset[str] = frozenset()) -> frozenset[str]:
    """Names of everything that is installed with a distribution, by what the distributions themselves say."""
    plain = re.sub(r"[-_.]+", "-", name).lower()
    if plain in known:
        return known
    try:
        wanted = distribution(plain).requires or []
    except PackageNotFoundError:
        return known
    known |= {plain}
    for line in wanted:
        if "extra ==" not in line:
            known = needed(re.split(r"[^\w.-]", line)[0], known)
    return known


def test_every_library_that_comes_along_is_named() -> None:
    everything = needed("pegwright") - {"pegwright"}
    assert {"pyside6-essentials", "shapely", "numpy", "reportlab"} <= everything
    notices = licences()[1].lower()
    assert [name for name in sorted(everything) if name not in notices] == []


def test_the_page_holds_both_texts() -> None:
    page = about_html()
    assert "WITHOUT WARRANTY OF ANY KIND" in page
    assert "GNU Lesser General Public" in page
