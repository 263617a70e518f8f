"""For every check the changes that may cure its findings, the least work first, and what to do where none does."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from geometry.curing import heights, outlines, parts, places, strings
from geometry.curing.case import Case, Source

ELSEWHERE: tuple[Source, ...] = (
    places.back_in_row,
    places.rows_inward,
    places.rows_along,
    places.rows_wider,
    places.one_post,
)
"""What puts tuners elsewhere."""

FROM_THE_NUT: tuple[Source, ...] = (places.back_in_row, places.rows_along, places.one_post)


class Kind(msgspec.Struct, frozen=True):
    """What may cure the findings of one check; `last` only where nothing before does.

    `placement`: looking for a whole other placement may help. `hand` is a sentence on what is left to the maker, and
    `drilled` another one for where holes are in the wood, as `is_drilled` says.
    """

    sources: tuple[Source, ...]
    hand: str
    last: tuple[Source, ...] = ()
    placement: bool = False
    drilled: str = ""
    is_drilled: Callable[[Case], bool] = places.rows_are_drilled

    def left_to_the_maker(self, case: Case) -> str:
        """What no change here does, in English."""
        return self.drilled if self.drilled and self.is_drilled(case) else self.hand


NO_ROOM = "No change of places clears this: the head needs more room there, or smaller tuners."
OTHER_PARTS = "No change here clears this: look for other tuners, or measure these again."

STRONGER = Kind(
    (parts.other_tuners,),
    "No tuner of the library takes this string without another finding here: fit one and place it anew, or take "
    "a lighter string.",
    drilled="The holes are drilled: fit a tuner of the same bore that takes this string, or take a lighter string.",
    is_drilled=parts.kinds_are_drilled,
)

KINDS: dict[str, Kind] = {
    "wall": Kind(ELSEWHERE, NO_ROOM, placement=True),
    "end distance": Kind(ELSEWHERE, NO_ROOM, placement=True),
    "web": Kind((parts.plugged, *ELSEWHERE), NO_ROOM, placement=True),
    "into the nut": Kind(FROM_THE_NUT, NO_ROOM, placement=True),
    "keep clear": Kind((*ELSEWHERE, parts.moved_tree), NO_ROOM, placement=True),
    "body gap": Kind(ELSEWHERE, NO_ROOM, (parts.other_tuners,), placement=True),
    "butting body gap": Kind(ELSEWHERE, NO_ROOM, (parts.other_tuners,), placement=True),
    "washer gap": Kind((parts.smaller_washers, *ELSEWHERE), NO_ROOM, placement=True),
    "seat": Kind(ELSEWHERE, NO_ROOM, (parts.other_tuners,), placement=True),
    "seat on flat back": Kind(FROM_THE_NUT, NO_ROOM, (parts.other_tuners,), placement=True),
    "button gap": Kind(ELSEWHERE, NO_ROOM, (parts.smaller_buttons, parts.other_tuners), placement=True),
    "button to edge": Kind(ELSEWHERE, NO_ROOM, (parts.smaller_buttons, parts.other_tuners), placement=True),
    "screw to edge": Kind((*ELSEWHERE, parts.moved_tree), NO_ROOM, (parts.other_tuners,), placement=True),
    "screw to hole": Kind(
        (parts.plugged, *ELSEWHERE, parts.moved_tree), NO_ROOM, (parts.other_tuners,), placement=True
    ),
    "screw to own bore": Kind((), OTHER_PARTS, (parts.other_tuners,)),
    "screw depth": Kind((heights.shorter_screws, heights.thicker), OTHER_PARTS),
    "string to post": Kind((strings.other_side, *ELSEWHERE), NO_ROOM, placement=True),
    "string to string": Kind((strings.other_side, *ELSEWHERE), NO_ROOM, placement=True),
    "string over washers": Kind(
        (heights.thinner, heights.fewer_turns, parts.smaller_washers, *ELSEWHERE),
        OTHER_PARTS,
        (heights.higher_holes,),
        placement=True,
    ),
    "string over wood": Kind(ELSEWHERE, NO_ROOM, placement=True),
    "wraps": Kind(
        (heights.thinner, heights.fewer_turns), OTHER_PARTS, (parts.other_tuners, heights.higher_holes)
    ),
    "splay": Kind((strings.other_side, places.straighter, *ELSEWHERE), NO_ROOM, placement=True),
    "break": Kind(
        (heights.lower_tree, heights.trees, heights.more_turns, heights.thicker, heights.steeper_head),
        "No tree, turns or wood bend it enough: it needs posts further down, or a head that leans back more.",
        (parts.other_tuners,),
    ),
    "high break": Kind(
        (heights.higher_tree, heights.fewer_turns, heights.thinner, heights.flatter_head, places.rows_along),
        "No turns or wood bend it less: it needs posts further from the nut, or a head that leans back less.",
        (parts.other_tuners,),
        placement=True,
    ),
    "string stress": Kind(
        (strings.lower_pitch, strings.other_gauge),
        "Tune the string lower, or take one that its maker gives for this pitch and scale length.",
    ),
    "first post": Kind(FROM_THE_NUT, NO_ROOM, placement=True),
    "first washer": Kind((parts.smaller_washers, *FROM_THE_NUT), NO_ROOM, placement=True),
    "first button": Kind(FROM_THE_NUT, NO_ROOM, (parts.smaller_buttons,), placement=True),
    "thickness": Kind((heights.thinner, heights.thicker), OTHER_PARTS, (parts.other_tuners,)),
    "bore fit": Kind(
        (parts.other_bore,),
        "No other bore clears this without breaking another limit: move the posts first.",
        drilled="A hole of these tuners is drilled: ream a narrow one, bush a wide one, or fit tuners that suit it.",
        is_drilled=parts.kinds_are_drilled,
    ),
    "tuner measures": Kind(
        (parts.other_bore,),
        "Measure the tuner again: one of its figures is mistyped.",
        drilled="The hole is drilled: measure the tuner again, or fit another one.",
        is_drilled=parts.kinds_are_drilled,
    ),
    "hardest pull": STRONGER,
    "thickest string": STRONGER,
    "scar": Kind(
        (parts.over_the_scar,),
        "No tuner near it hides it: plug it with the same wood, or lay a veneer over it.",
    ),
    "piece": Kind((parts.right_piece,), "Fit the piece that is made for this side."),
    "retainer": Kind((strings.tree_over_its_strings,), "Move the tree between the nut and the post."),
    "order": Kind((strings.swapped,), "Lead each string to the post that comes next on its side."),
    "plate fit": Kind(
        (places.back_in_row, places.even_rule),
        "The row has no place by the holes of its plate: make room for it first, or fit single tuners.",
        (parts.other_tuners,),
        drilled="The holes are where they are: plug and drill again, or fit single tuners.",
    ),
    "evenness": Kind(
        (places.back_in_row, places.even_rule),
        "No change here sets this row evenly and keeps every limit: make room for it first, or set it by another rule.",
        drilled="What is drilled stays where it is: no change of the others sets this row evenly.",
    ),
    "outline": Kind(
        (outlines.ends_on_the_line, outlines.turned_round, outlines.one_node_less),
        "Draw the outline anew where it crosses itself or ends.",
    ),
    "placement": Kind(
        (places.all_in_place, strings.one_more_post),
        "Add tuners or strings in their panels, or make the head longer where a row runs out of it.",
    ),
    "width at nut": Kind(
        (outlines.ends_on_the_nut,), "Set the ends of the outline on the nut line where the nut ends."
    ),
    "overhang at nut": Kind(
        (outlines.ends_on_the_nut,), "Set the ends of the outline on the nut line where the nut ends."
    ),
    "cutter radius": Kind(
        (outlines.smaller_cutter, outlines.rounded_for_the_cutter),
        "Draw the hollow wider, or saw and file it there.",
        (outlines.sawn_by_hand,),
    ),
    "blank": Kind((outlines.larger_board,), "Take a larger board, or draw a smaller head."),
}
"""By the names of checks."""
