"""Sentences that wait for their units."""

from __future__ import annotations

from geometry.trade.sentence import Sentence, SentenceError, say_note

THICK = Sentence("The head is {0} thick there; the tuner takes {1} to {2}.", (12.04,), (12.7, 19.05))


def test_lengths_are_told_in_the_units_of_the_reader() -> None:
    assert THICK.say("mm") == "The head is 12.0 mm thick there; the tuner takes 12.7 mm to 19.05 mm."
    assert THICK.say("inch") == "The head is 0.474 in thick there; the tuner takes 1/2 in to 3/4 in."


def test_the_words_are_translated_before_the_numbers_come_in() -> None:
    words = {THICK.text: "{1} bis {2}, hier {0}"}
    assert say_note(THICK, "mm", lambda text: words.get(text, text)) == "12.7 mm bis 19.05 mm, hier 12.0 mm"


def test_errors_and_plain_sentences() -> None:
    error = SentenceError("at least {0}", typed=(6.35,))
    assert str(error) == "at least 6.35 mm"
    assert say_note(error, "inch") == "at least 1/4 in"
    assert say_note(ValueError("no room"), "inch") == "no room"
    assert say_note("as it is", "inch", str.upper) == "AS IT IS"
