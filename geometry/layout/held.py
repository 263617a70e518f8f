"""Drilled holes stay where they are in the wood, whatever is decided about the rest."""

from __future__ import annotations

from geometry.document.build import Build, Moved
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import lay_out
from geometry.shape.tolerance import SAME


def held(before: Build, after: Build) -> Build:
    """An edited build with its drilled posts where they were before the edit, by hand.

    A post that the edit itself put elsewhere by hand, or drilled just now, is left there; so is everything where the
    head was turned into its mirror image.
    """
    stays = _drilled(before) & _drilled(after)
    if not stays or before.hand != after.hand or _same_places(before, after):
        return after
    old, new = _by_hand(before), _by_hand(after)
    was = {post.key: post.at for post in lay_out(before).posts}
    layout = lay_out(after)
    places = {
        post.key: was[post.key]
        for post in layout.posts
        if post.key in stays & was.keys()
        and old.get(post.key) == new.get(post.key)
        and post.at.distance(was[post.key]) > SAME
    }
    return move_posts(after, layout, places)


def _drilled(build: Build) -> set[str]:
    return {post.key for row in build.rows for post in row.posts if post.drilled}


def _by_hand(build: Build) -> dict[str, Moved]:
    return {moved.post: moved for row in build.rows for moved in row.moved}


def _same_places(one: Build, two: Build) -> bool:
    """Whether nothing that places posts differs: cheaper than placing them."""
    return (
        one.rows == two.rows
        and one.outline == two.outline
        and one.nut == two.nut
        and one.strings == two.strings
        and one.hardware == two.hardware
        and one.head == two.head
        and (one.scale_length, one.bridge_spread) == (two.scale_length, two.bridge_spread)
    )
