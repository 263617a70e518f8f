"""Quantities as text, in the units of the shop and to figures that fit what they rest on.

The only place that does so: lengths, forces, stresses, moments, masses, angles, shares. What a maker typed is
told as typed; what was worked out to the step that its accuracy is worth; an estimate to two figures.
Halves are rounded away from zero, whatever the dust of a float says, and a minus is a true minus.
"""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

import msgspec

from geometry.trade.units import (
    INCH,
    OUNCE,
    POUND_FORCE,
    POUND_FORCE_INCH,
    POUND_PER_CUBIC_FOOT,
    POUND_PER_INCH,
    PSI,
    Units,
)

UNKNOWN = "–"
"""What stands for a number that is none."""

ESTIMATE = 2
"""Figures of what rests on a rule of thumb or on the scatter of wood."""

WORKED_OUT = 3
"""Figures of what follows by a law from numbers that were typed."""

Unit = Literal["mm", "deg", "%", "g", ""]
"""What the quantities of limits and comparisons are in; empty for what is counted."""

_TYPED_SIGNS: dict[Unit, str] = {"deg": "°", "%": " %", "g": " g", "": ""}

# Decimals beyond these are the dust of a float.
_DUST = 9


class Step(msgspec.Struct, frozen=True, gc=False):
    """How finely one sort of lengths is told: steps in mm and in inches, as text.

    Decimals end at the last place of the step. Inches by parts, such as "1/64", are told as fractions.
    """

    millimetres: str
    inches: str

    def finer(self, places: int) -> Step:
        """The same with more decimal places; fractions of an inch give way to decimals."""
        if places == 0:
            return self
        inches = "0.001" if "/" in self.inches else self.inches
        return Step(*(str(Decimal(each).scaleb(-places)) for each in (self.millimetres, inches)))


CLEARANCE = Step("0.1", "0.001")
"""What was worked out between parts of the head."""

CLOSE = Step("0.01", "0.001")
"""The same where a tenth of a millimetre would hide what matters; places and bores, as calipers read them."""

FILED = Step("0.01", "0.0005")
"""Depths and heights at the nut."""

DIAMETER = Step("0.001", "0.0001")
"""Gauges and files."""

DEPTH = Step("0.1", "0.01")
"""How deep a depth stop is set."""

SECTION = Step("0.5", "0.02")
"""Where along the head something lies that was looked for in steps of half a millimetre."""

RULER = Step("0.1", "0.01")
"""What a printed ruler must measure under a steel rule."""

SAWN = Step("0.1", "1/64")
"""What is sawn to size."""

CUT = Step("1", "1/16")
"""What is cut with room to spare: lengths of strings, a machine's table."""


FINE_BELOW = 0.3
"""mm; what may miss by less is told more finely."""


# Lengths


def length_unit(units: Units) -> str:
    """The sign of the unit of lengths."""
    return "mm" if units == "mm" else "in"


def length_word(units: Units) -> str:
    """The name of the unit of lengths, of many of them."""
    return "millimetres" if units == "mm" else "inches"


def show_length(length: float, units: Units, step: Step | None = None) -> str:
    """A length in mm with its unit, such as "44.5 mm" or "1 3/4 in": to a step, or as it was typed.

    As typed: up to three decimals of a millimetre where these are exact, else two. Inches as a fraction where
    four decimals cannot tell them from a 64th, as four decimals where these are exact, else as three.
    """
    return f"{bare_length(length, units, step)} {length_unit(units)}"


def bare_length(length: float, units: Units, step: Step | None = None) -> str:
    """The same without the unit, for columns whose head tells it."""
    if step is None:
        return _typed_inches(length / INCH) if units == "inch" else typed_number(length)
    if units == "mm":
        return _in_steps(length, Decimal(step.millimetres))
    if "/" in step.inches:
        parts = Fraction(step.inches).denominator
        return _fraction_text(Fraction(_counted(length / INCH * parts), parts))
    return _in_steps(length / INCH, Decimal(step.inches))


def show_measured(length: float, units: Units, more: int = 0) -> str:
    """A length that was worked out on the head, for a sentence, with `more` decimals than usual."""
    return show_length(length, units, (CLOSE if abs(round(length, 2)) < 1 else CLEARANCE).finer(more))


def show_fine(length: float, units: Units) -> str:
    """What is bored or measured with calipers: "10 mm", "8.73 mm", "0.344 in"."""
    text = bare_fine(length, units)
    return f"{_trimmed(text, 0) if units == 'mm' else text} {length_unit(units)}"


def show_diameter(diameter: float) -> str:
    """The diameter of a hole in mm on a drawing, with one decimal at least: "10.0 mm"."""
    return f"{bare_fine(diameter, 'mm')} mm"


def bare_fine(length: float, units: Units) -> str:
    """The same without the unit: a hundredth of a millimetre only where a tenth would round it."""
    return _trimmed(bare_length(length, units, CLOSE), 1 if units == "mm" else 3)


def show_gauge(diameter: float, units: Units) -> str:
    """The diameter of a string in mm with its unit, such as "0.254 mm" or "0.010 in"."""
    text = bare_gauge(diameter, units)
    return f"{_trimmed(text, 0) if units == 'mm' else text} {length_unit(units)}"


def bare_gauge(diameter: float, units: Units) -> str:
    """The same without the unit, for a column: three decimals, in inches four where it has as many."""
    return _trimmed(bare_length(diameter, units, DIAMETER), 3)


def show_radius(radius: float, units: Units) -> str:
    """How far something may miss: rounded down, to a tenth of a millimetre or a thousandth of an inch.

    What is below FINE_BELOW is told to a hundredth of a millimetre.
    """
    return f"{bare_radius(radius, units)} {length_unit(units)}"


def bare_radius(radius: float, units: Units) -> str:
    """The same without the unit."""
    return _to_one_side(radius, units, CLOSE if 0 < radius < FINE_BELOW else CLEARANCE, ROUND_FLOOR)


def show_need(length: float, units: Units) -> str:
    """How much is needed: rounded up, to a tenth of a millimetre or a hundredth of an inch."""
    return f"{bare_need(length, units)} {length_unit(units)}"


def bare_need(length: float, units: Units) -> str:
    """The same without the unit."""
    return _to_one_side(length, units, DEPTH, ROUND_CEILING)


# Forces, stresses, moments, masses


def show_force(newtons: float, units: Units, count: int = WORKED_OUT) -> str:
    """A force to so many figures, in newtons or in pounds-force."""
    return f"{bare_force(newtons, units, count)} {force_unit(units)}"


def show_most_force(newtons: float, units: Units, more: int = 0) -> str:
    """The hardest pull that something takes: to three figures, without zeros at their end."""
    return f"{_trimmed(bare_force(newtons, units, WORKED_OUT + more), 0)} {force_unit(units)}"


def bare_force(newtons: float, units: Units, count: int = WORKED_OUT) -> str:
    """The same without the unit."""
    return figures(newtons if units == "mm" else newtons / POUND_FORCE, count)


def force_unit(units: Units) -> str:
    """The sign of the unit of forces."""
    return "N" if units == "mm" else "lbf"


def show_stress(megapascals: float, units: Units, count: int = WORKED_OUT) -> str:
    """A stress or strength to so many figures, in MPa or in pounds-force per square inch, "218,000 psi"."""
    if units == "mm":
        return f"{figures(megapascals, count)} MPa"
    return f"{_grouped(figures(megapascals / PSI, count))} psi"


def show_moment(newton_metres: float, units: Units, count: int = ESTIMATE) -> str:
    """A moment to so many figures, in newton metres or in pound-force inches."""
    if units == "mm":
        return f"{figures(newton_metres, count)} N·m"
    return f"{figures(newton_metres / POUND_FORCE_INCH, count)} lbf·in"


def show_mass(grams: float, units: Units) -> str:
    """A mass in whole grams or tenths of an ounce: kitchen scales tell no more, nor do typical masses."""
    if units == "mm":
        return f"{_in_steps(grams, Decimal(1))} g"
    return f"{_in_steps(grams / OUNCE, Decimal('0.1'))} oz"


def show_density(density: float, units: Units) -> str:
    """A density in kg/m3 to three figures, in kg/m³ or in pounds per cubic foot, to two then."""
    if units == "mm":
        return f"{figures(density, 3)} kg/m³"
    return f"{figures(density / POUND_PER_CUBIC_FOOT, 2)} lb/ft³"


def show_unit_weight(grams_per_metre: float, units: Units, count: int = WORKED_OUT) -> str:
    """What a string weighs for its length, in g/m or in pounds per inch, as makers of strings state it."""
    return f"{bare_unit_weight(grams_per_metre, units, count)} {unit_weight_unit(units)}"


def bare_unit_weight(grams_per_metre: float, units: Units, count: int = WORKED_OUT) -> str:
    """The same without the unit."""
    return _trimmed(figures(grams_per_metre if units == "mm" else grams_per_metre / POUND_PER_INCH, count), 0)


def unit_weight_unit(units: Units) -> str:
    """The sign of the unit of unit weights."""
    return "g/m" if units == "mm" else "lb/in"


# Angles, shares, plain numbers


def show_quantity(value: float, unit: Unit, units: Units, more: int = 0) -> str:
    """What was worked out in the unit of a limit (or in g), with `more` decimals than usual."""
    match unit:
        case "mm":
            return show_measured(value, units, more)
        case "deg":
            return show_angle(value, more)
        case "%":
            return show_share(value / 100, more)
        case "g":
            return show_mass(value, units)
        case "":
            return _in_steps(value, Decimal(1))


def show_typed(value: float, unit: Unit, units: Units) -> str:
    """A quantity as it was typed, in the unit of a limit."""
    if unit == "mm":
        return show_length(value, units)
    return f"{typed_number(value)}{_TYPED_SIGNS[unit]}"


def show_angle(degrees: float, more: int = 0) -> str:
    """An angle to a tenth of a degree, with `more` decimals."""
    return f"{bare_angle(degrees, more)}°"


def bare_angle(degrees: float, more: int = 0) -> str:
    """The same without its sign."""
    return _in_steps(degrees, Decimal("0.1").scaleb(-more))


def show_share(share: float, more: int = 0) -> str:
    """A share of 1 in whole percent, with `more` decimals."""
    return f"{_in_steps(100 * share, Decimal(1).scaleb(-more))} %"


def show_count(count: int, name: str) -> str:
    """So many things of a name whose plural ends in s: "1 hole", "3 holes"."""
    return f"{count} {name}{'' if count == 1 else 's'}"


def typed_number(value: float) -> str:
    """A number as it was typed: up to three decimals where these are exact, else two."""
    exact = abs(value - round(value, 3)) < 10**-_DUST
    return _trimmed(_in_steps(value, Decimal("0.001" if exact else "0.01")), 0)


def figures(value: float, count: int) -> str:
    """A number to so many figures, without powers of ten."""
    if not math.isfinite(value):
        return UNKNOWN
    exact = Decimal(repr(float(value)))
    if not exact:
        return "0"
    for place in (exact.adjusted(), exact.adjusted() + 1):
        rounded = exact.quantize(Decimal(1).scaleb(place - count + 1), ROUND_HALF_UP)
        if rounded.adjusted() == place:
            break
    return format(rounded, "f").replace("-", "−")


def to_figures(value: float, count: int) -> float:
    """A number as it is told to so many figures; what has no size stays as it is."""
    if not value or not math.isfinite(value):
        return value
    return round(value, count - 1 - math.floor(math.log10(abs(value))))


def with_sign(text: str) -> str:
    """The text of a difference with a plus where it has no minus; a zero has neither."""
    return text if text.startswith("−") or not text.strip("0. ") else f"+{text}"


# How it is done


def _in_steps(value: float, step: Decimal, rounding: str = ROUND_HALF_UP) -> str:
    """The multiple of a step nearest to a number, with the decimals of the step."""
    if not math.isfinite(value):
        return UNKNOWN
    text = format((_exact(value) / step).quantize(Decimal(1), rounding) * step, "f")
    return text.replace("-", "−") if text.strip("-0.") else text.removeprefix("-")


def _to_one_side(length: float, units: Units, step: Step, rounding: str) -> str:
    """A length rounded always up or always down, in decimals."""
    if units == "mm":
        return _in_steps(length, Decimal(step.millimetres), rounding)
    return _in_steps(length / INCH, Decimal(step.inches), rounding)


def _counted(value: float) -> int:
    """The whole number nearest to a number, halves away from zero."""
    return int(_exact(value).quantize(Decimal(1), ROUND_HALF_UP))


def _exact(value: float) -> Decimal:
    """The number that was meant, without the dust of a float."""
    return Decimal(repr(round(float(value), _DUST)))


def _grouped(text: str) -> str:
    """Digits with commas between thousands, unless something else than a whole number."""
    return f"{int(text):,}" if text.isdigit() else text


def _typed_inches(inches: float) -> str:
    """Inches as they were typed, or as finely as they are worth."""
    # Half of the fourth decimal; 1/32 in lies half-way, where only the dust of a float decides.
    half = 0.00005 + 10**-_DUST
    exact = abs(inches - round(inches, 4)) < 10**-_DUST
    shown = _in_steps(inches, Decimal("0.0001" if exact else "0.001"))
    for candidate in (inches, float(shown.replace("−", "-"))):
        sixty_fourth = Fraction(_counted(candidate * 64), 64)
        if abs(round(candidate, 4) - sixty_fourth) <= half:
            return _fraction_text(sixty_fourth)
    return _trimmed(shown, 3)


def _fraction_text(number: Fraction) -> str:
    """A number as a whole number and a fraction in lowest terms."""
    whole, rest = divmod(abs(number), 1)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{rest.numerator}/{rest.denominator}")
    return ("−" if number < 0 else "") + " ".join(words)


def _trimmed(digits: str, kept: int) -> str:
    """The decimal without the zeros at its end beyond `kept` decimals."""
    whole, _, decimals = digits.partition(".")
    decimals = decimals[:kept] + decimals[kept:].rstrip("0")
    return f"{whole}.{decimals}" if decimals else whole
