"""Which string goes to which post, so that no path crosses another."""

from __future__ import annotations

from msgspec import UNSET

from geometry.document.build import Build, Row, SideName


def strings_of_posts(build: Build) -> dict[str, str]:
    """String key by post key.

    What the maker decided stands. The other strings go by rule: on each side the outermost string to the post
    nearest the nut, so that the strings fan out without crossing; a course's outer string goes to the nearer post.
    """
    decided = {
        post.key: post.string for row in build.rows for post in row.posts if isinstance(post.string, str)
    }
    taken = set(decided.values())
    free = [string.key for string in build.strings if string.key not in taken]
    treble, bass = _open_posts(build.rows, "treble"), _open_posts(build.rows, "bass")
    by_rule = dict(zip(treble, free, strict=False))
    by_rule |= dict(zip(bass, reversed(free[len(by_rule) :]), strict=False))
    return decided | by_rule


def _open_posts(rows: tuple[Row, ...], side: SideName) -> list[str]:
    """Keys of the posts of a side that take a string by rule, from the nut to the tip."""
    return [post.key for row in rows if row.side == side for post in row.posts if post.string is UNSET]
