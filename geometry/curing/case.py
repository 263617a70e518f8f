"""A head with a finding that is to be cured, and the changes that may do so."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

import msgspec

from geometry.checks.judge import Finding, findings
from geometry.document.build import Build, Row
from geometry.document.twins import is_symmetric
from geometry.layout.layout import Layout, lay_out
from geometry.layout.names import natural, run_words
from geometry.layout.parts import PlacedPost
from geometry.search.placing.alike import Twins, Unlike, partners_of, twins_of
from geometry.trade.quantities import show_length
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.shop import Shop
from geometry.trade.units import Units


def _go_on() -> None:
    pass


class Head(msgspec.Struct, frozen=True):
    """A head as it is, for all of its findings: `partner` is the post that mirrors another, by key.

    Where the maker works on the sides one by one there are no `twins`.

    `tick` is called before every judging and may raise to end the work; words are said by `translate`.
    """

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    twins: Twins
    partner: dict[str, str]
    shop: Shop
    translate: Translate = as_it_is
    tick: Callable[[], None] = _go_on

    @property
    def units(self) -> Units:
        """Those in which steps are round and words are said."""
        return self.shop.units


def head_of(
    build: Build,
    shop: Shop | None = None,
    translate: Translate = as_it_is,
    tick: Callable[[], None] = _go_on,
) -> Head:
    """The head of a build; without a shop the usual one."""
    layout = lay_out(build)
    found = twins_of(build, layout) if is_symmetric(build) else ()
    twins: Twins = () if isinstance(found, Unlike) else found
    return Head(
        build,
        layout,
        findings(build, layout),
        twins,
        partners_of(build, twins),
        shop or Shop(),
        translate,
        tick,
    )


class Case(msgspec.Struct, frozen=True):
    """A finding of a head that is to be cured."""

    head: Head
    finding: Finding

    @property
    def build(self) -> Build:
        """The build as it is."""
        return self.head.build

    @property
    def layout(self) -> Layout:
        """Where everything lies today."""
        return self.head.layout

    @property
    def own_posts(self) -> tuple[str, ...]:
        """The keys of the posts that the finding is about: their own, or those of its strings or its row."""
        by_string = {post.string: post.key for post in self.layout.posts if post.string is not None}
        placed = [post.key for post in self.layout.posts]
        found: dict[str, None] = {}
        for part in self.finding.about:
            if part.kind == "string" and part.key in by_string:
                found[by_string[part.key]] = None
            elif part.kind == "row":
                found.update(dict.fromkeys(post.key for post in self.layout.posts if post.row == part.key))
            elif part.key in placed:
                found[part.key] = None
        return tuple(found)

    @property
    def own_rows(self) -> tuple[Row, ...]:
        """The rows of those posts."""
        keys = {self.layout.post(post).row for post in self.own_posts}
        return tuple(row for row in self.build.rows if row.key in keys)

    def with_twin(self, row: Row) -> tuple[Row, ...]:
        """A row and the one that mirrors it."""
        rows = self.build.rows
        for pair in self.head.twins:
            if row in (rows[pair[0]], rows[pair[1]]):
                return rows[pair[0]], rows[pair[1]]
        return (row,)

    def say(self, text: str, *values: str) -> str:
        """A text in the language of the head with values in its places."""
        return self.head.translate(text).format(*values)

    def lengths(
        self,
        words: Callable[[str], str],
        step: float,
        most: int,
        change: Callable[[float], Build | None],
        gain: float | None = None,
    ) -> Ladder:
        """A change by up to `most` steps of so many mm each, which `words` tell; one gains `gain` at most.

        None where nobody knows what a step gains.
        """
        return Ladder(
            lambda steps: words(show_length(steps * step, self.head.units)),
            lambda steps: change(steps * step),
            most,
            gain,
        )

    def posts_named(self, keys: Collection[str]) -> str:
        """Such as "post 4" and "posts 1 to 3"."""
        labels = [self.layout.labels[key] for key in keys]
        if len(labels) == 2:
            return self.say("posts {0} and {1}", *sorted(labels, key=natural))
        return self.say("post {0}" if len(labels) == 1 else "posts {0}", run_words(labels))

    def with_partners(self, keys: Collection[str]) -> tuple[str, ...]:
        """The posts and those that mirror them: what is alike stays alike."""
        both = dict.fromkeys(key for one in keys for key in (one, self.head.partner.get(one, one)))
        return tuple(both)

    def can_move(self, post: PlacedPost) -> bool:
        """Whether a post may move by itself: its hole is not in the wood yet, and no plate holds it."""
        return not post.post.drilled and post.hardware.plate is None


class Trial(msgspec.Struct, frozen=True):
    """One change that may cure, in words, with the build that it makes."""

    act: str
    build: Build


class Ladder(msgspec.Struct, frozen=True):
    """A change by so many steps: the least number that cures is looked for.

    `step` is in the unit of what is measured, as far as a step can gain at most; None where nobody knows. `change` is
    None where the head cannot have so many steps.
    """

    act: Callable[[int], str]
    change: Callable[[int], Build | None]
    most: int
    step: float | None = None


Change = Trial | Ladder
Source = Callable[[Case], Iterator[Change]]
"""Where changes for a finding come from, the least work first."""
