"""A short name for what a paper or a file was made from, so that two of one head are not mixed up."""

from __future__ import annotations

import hashlib

import msgspec
from msgspec.structs import replace

from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.trade.measured import unmarked
from geometry.trade.shop import Shop

LETTERS = 8
"""Hexadecimal digits: 32 bits, so that of a thousand builds two are alike once in ten thousand workshops."""


OF_OUTPUT = ("units", "paper", "printers", "kerf", "guide_bushing")
"""What of a shop only says how a head is put on paper or cut, and is the same head on another sheet."""


def fingerprint(build: Build, shop: Shop, version: str) -> str:
    """Of a build, the tools it is made with and the version of the program: alike only where all three are.

    Other paper, another printer or kerf leave it: a sheet that was printed before and a guide that is cut after belong
    to one head. Nor does it matter which measures of its tuners were typed.
    """
    usual = Shop()
    head = replace(build, hardware=tuple(unmarked(each) for each in build.hardware))
    tools = replace(shop, **{name: getattr(usual, name) for name in OF_OUTPUT})
    whole = b"\0".join((write_build(head), msgspec.json.encode(tools), version.encode()))
    return hashlib.sha256(whole).hexdigest()[:LETTERS].upper()
