"""A short name for what a paper or a file was made from, so that two of one head are not mixed up."""

from __future__ import annotations

import hashlib

import msgspec

from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.trade.shop import Shop

LETTERS = 8
"""Hexadecimal digits: 32 bits, so that of a thousand builds two are alike once in ten thousand workshops."""


def fingerprint(build: Build, shop: Shop, version: str) -> str:
    """Of a build, the shop it is made for and the version of the program: alike only where all three are."""
    whole = b"\0".join((write_build(build), msgspec.json.encode(shop), version.encode()))
    return hashlib.sha256(whole).hexdigest()[:LETTERS].upper()
