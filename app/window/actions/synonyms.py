"""Other words that a maker may look for an action by."""

from __future__ import annotations

from PySide6.QtCore import QT_TRANSLATE_NOOP

_WORDS = {
    "output": QT_TRANSLATE_NOOP(
        "Actions", "template guide paper laser router cnc pdf dxf svg csv 3mf stl plastic drill sheet cradle"
    ),
    "widths": QT_TRANSLATE_NOOP("Actions", "family range chart wider narrower"),
    "compare": QT_TRANSLATE_NOOP("Actions", "difference other tuners before after"),
    "recovered": QT_TRANSLATE_NOOP("Actions", "lost crash restore backup"),
    "panel head": QT_TRANSLATE_NOOP("Actions", "outline shape wood thickness angle volute neck"),
    "panel strings": QT_TRANSLATE_NOOP("Actions", "gauge tension pull nut slot spacing course scale length"),
    "panel tuners": QT_TRANSLATE_NOOP("Actions", "bore drill hole peg gear machine bushing button row pitch"),
    "panel keep clear": QT_TRANSLATE_NOOP("Actions", "rod pocket inlay truss veneer region"),
    "panel findings": QT_TRANSLATE_NOOP("Actions", "check problem error stop watch clearance limit"),
    "panel bench": QT_TRANSLATE_NOOP(
        "Actions",
        "drill bore cradle jig hold press schedule weight heavy balance strength break tension nut file",
    ),
    "panel best": QT_TRANSLATE_NOOP("Actions", "optimum optimise place tuners tolerance ring"),
    "panel missed": QT_TRANSLATE_NOOP("Actions", "mistake wrong off drilled plug repair"),
    "panel refit": QT_TRANSLATE_NOOP("Actions", "resize wider narrower nut width"),
    "symmetric": QT_TRANSLATE_NOOP("Actions", "symmetry mirror alike both sides"),
    "other hand": QT_TRANSLATE_NOOP("Actions", "mirror flip left-handed lefty right-handed"),
    "rings": QT_TRANSLATE_NOOP("Actions", "allowance tolerance how far miss"),
    "preferences": QT_TRANSLATE_NOOP(
        "Actions", "settings options dark light theme colours font drills shop units inches printer"
    ),
    "region tool": QT_TRANSLATE_NOOP("Actions", "keep clear rod pocket inlay"),
    "old hole tool": QT_TRANSLATE_NOOP("Actions", "plug plugged filled used neck"),
    "round tool": QT_TRANSLATE_NOOP("Actions", "corner radius fillet"),
    "actual size": QT_TRANSLATE_NOOP("Actions", "scale 1:1 100 %"),
    "inches": QT_TRANSLATE_NOOP("Actions", "units imperial metric millimetres mm"),
    "back": QT_TRANSLATE_NOOP("Actions", "rear screws"),
}

ALSO: dict[str, str] = {key: str(words) for key, words in _WORDS.items()}
"""Words by the key of the action; an action may have none."""
