"""The press of the shop in words: which way fits, or by how much none does."""

from __future__ import annotations

from msgspec.structs import replace

from geometry.bench.cradle import Cradle, cradle
from geometry.bench.press_ways import PressWay
from geometry.bench.press_words import press_rows, say_edge, say_fit, say_press, ways_of
from geometry.layout.layout import Layout, lay_out
from geometry.trade.shop import CradleSizes, Shop
from tests.builds import plain_head, three_and_three

WAYS = (
    PressWay("wedges", "one side", 175.3, 316.0, 867.0),
    PressWay("wedges", "turned", 132.0, 316.0, 867.0),
    PressWay("screwed", "tip", 97.21, 240.0, None),
)


def held() -> tuple[Cradle, Layout]:
    build = three_and_three()
    layout = lay_out(build)
    return cradle(build, layout, CradleSizes()), layout


def told(throat: float, table: float | None = None) -> str:
    return " ".join(say_fit(WAYS, throat, table, "mm"))


def test_the_way_that_fits_is_named_with_what_it_needs() -> None:
    assert "with wedges, one long side" in told(200.0)
    assert told(150.0) == (
        "On your press, throat of 150 mm: with wedges, the base plate turned end for end, so that each bore is drilled "
        "from its nearer long side. That needs 132.0 mm."
    )
    # Rounded up, so that what is said is enough.
    assert "That needs 97.3 mm." in told(97.21)


def test_what_lacks_is_told() -> None:
    words = told(90.0)
    assert words.startswith(
        "No way fits your press: its throat of 90 mm is 7.3 mm too short even with the blocks"
    )
    assert "which needs 97.3 mm" in words


def test_the_table_of_the_press() -> None:
    assert "carries the base plate and both supports" in told(150.0, 900.0)
    assert "the supports stand beside it" in told(150.0, 400.0)
    assert "too short for the base plate by up to 58.0 mm at one end" in told(150.0, 200.0)
    assert "the neck comes towards you" in told(100.0, 250.0)


def test_inch_shops_read_inches() -> None:
    words = " ".join(say_fit(WAYS, 152.4, 406.4, "inch"))
    assert "throat of 6 in" in words
    assert "needs 5.20 in" in words  # 5.197
    assert "mm" not in words


def test_a_shop_without_a_press_reads_what_the_least_is() -> None:
    made, layout = held()
    words = " ".join(say_press(made, layout, Shop()))
    assert words.startswith("Throat, from the spindle to the column: ")
    assert "Enter the throat of your press in the shop" in words
    heads, rows = press_rows(ways_of(made, layout), Shop())
    assert heads[1:] == ("throat mm", "table mm", "with supports mm")
    assert not any("✓" in row[0] for row in rows)


def test_the_way_for_the_shop_is_marked() -> None:
    made, layout = held()
    ways = ways_of(made, layout)
    shop = replace(Shop(), press_throat=ways[1].throat)
    _, rows = press_rows(ways, shop)
    assert ["✓" in row[0] for row in rows] == [way is ways[1] for way in ways]


def test_a_head_without_tuners_asks_for_no_press() -> None:
    build = plain_head()
    layout = lay_out(build)
    made = cradle(build, layout, CradleSizes())
    assert list(say_press(made, layout, Shop())) == []
    assert say_edge(made, layout, "mm") == ""
