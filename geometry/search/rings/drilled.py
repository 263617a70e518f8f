"""Holes that are in the wood already: they cannot miss any more, so that only the others share out what is left."""

from __future__ import annotations

from typing import TypeVar

import msgspec
import numpy as np

from geometry.checks.facts import Facts
from geometry.document.build import Build
from geometry.search.rings.slack import Slack
from geometry.search.rings.string_slack import StringSlack
from geometry.shape.close import Flags

Yielding = TypeVar("Yielding", Slack, StringSlack)


def drilled_posts(build: Build) -> tuple[str, ...]:
    """The keys of the posts whose holes are drilled."""
    return tuple(post.key for row in build.rows for post in row.posts if post.drilled)


def drilled_of(facts: Facts) -> Flags:
    """Which posts (n,) of a layout are drilled."""
    return np.array([post.post.drilled for post in facts.posts], dtype=bool)


def of_the_rest(slack: Yielding, drilled: Flags) -> Yielding:
    """The rows as they yield when `drilled` (n,) posts stay; those that only these take part in are left out."""
    if not drilled.any():
        return slack
    free = np.where(drilled, 0.0, slack.weights)
    yields: Flags = np.asarray((free > 0).any(axis=1) | ~(slack.weights > 0).any(axis=1))
    return msgspec.structs.replace(slack, weights=free).only(yields)
