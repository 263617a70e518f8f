"""What options name: posts by their labels, such as 3 or 1a, and tuners of the library by their keys."""

from __future__ import annotations

from app.document.messages import Refusal
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.trade.escapes import quoted
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY, find


def posts_named(option: str, text: str | None, layout: Layout) -> tuple[PlacedPost, ...]:
    """The placed posts with these labels, with commas between them; Refusal for one that is not there."""
    if text is None:
        return ()
    return tuple(post_named(option, label.strip(), layout) for label in text.split(","))


def post_named(option: str, label: str, layout: Layout) -> PlacedPost:
    """The placed post with this label; Refusal where there is none."""
    known = {post.label: post for post in layout.posts}
    if label not in known:
        expected = f"expected some of {', '.join(known)}" if known else "no post has its place on this head"
        raise Refusal(f"{option}: there is no post {quoted(label)}; {expected}.")
    return known[label]


def hardware_named(key: str) -> Hardware:
    """The class of tuners with this key; Refusal where the library has none."""
    if key.startswith("taper"):
        raise Refusal("Tapered wooden pegs are not supported yet: they want a tapered reamer, not a bore.")
    found = find(key)
    if found is None:
        raise Refusal(
            f"There is no hardware {quoted(key)}. Classes: {', '.join(each.key for each in LIBRARY)}."
        )
    return found
