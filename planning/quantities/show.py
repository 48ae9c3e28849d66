"""SI values, minutes and instants written the way they are said on site, imperial or metric. Arithmetic only."""

from datetime import UTC, date, datetime, time
from fractions import Fraction
from math import gcd
from typing import Literal
from zoneinfo import ZoneInfo

from planning.job.words import Instant, Minutes, Units

ClockStyle = Literal["12", "24"]
INCH_M = 0.0254
SQFT_M2 = 0.09290304
CUFT_M3 = 0.028316846592
QUART_L = 0.946352946
POUND_KG = 0.45359237
"""Exact by definition (international yard and pound, 1959; US liquid quart of 57.75 cubic inches)."""

DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def show_number(value: float, places: int = 1) -> str:
    """A number with at most so many places, no trailing zeros, thousands with a comma."""
    text = f"{value:,.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def show_inches(inches: float, finest: int = 16) -> str:
    """Inches to the nearest 1/`finest`, as 1-3/8 in."""
    parts = round(inches * finest)
    whole, rest = divmod(parts, finest)
    if rest == 0:
        return f"{whole} in"
    shrink = gcd(rest, finest)
    fraction = f"{rest // shrink}/{finest // shrink}"
    return f"{whole}-{fraction} in" if whole else f"{fraction} in"


def show_length(meters: float, units: Units = "imperial") -> str:
    """5'-3 1/2" from one foot up, 1-3/8 in below it; metric 1613 mm, from 10 m up 12.4 m. To 1/16 in or 1 mm."""
    if units == "metric":
        return f"{round(meters * 1000)} mm" if meters < 10 else f"{show_number(meters)} m"
    parts = round(meters / INCH_M * 16)
    if parts < 12 * 16:
        return show_inches(parts / 16)
    feet, rest = divmod(parts, 12 * 16)
    inches = Fraction(rest, 16)
    whole = inches.numerator // inches.denominator
    broken = inches - whole
    return f"{feet}'-{whole} {broken}\"" if broken else f"{feet}'-{whole}\""


def show_size(length_m: float, width_m: float, units: Units = "imperial") -> str:
    """Two sides of a floor: 10'-0" x 6'-0"."""
    return f"{show_length(length_m, units)} x {show_length(width_m, units)}"


def show_area(square_meters: float, units: Units = "imperial") -> str:
    """25 sqft or 2.3 m2; one place below 100."""
    value, unit = (square_meters, "m2") if units == "metric" else (square_meters / SQFT_M2, "sqft")
    return f"{show_number(value, 1 if value < 100 else 0)} {unit}"


def show_volume(cubic_meters: float, units: Units = "imperial") -> str:
    """A volume of mud or leveler: 2.17 cu ft, or liters below one cubic meter and m3 above."""
    if units == "imperial":
        return f"{show_number(cubic_meters / CUFT_M3, 2)} cu ft"
    return f"{show_number(cubic_meters * 1000)} l" if cubic_meters < 1 else f"{show_number(cubic_meters, 2)} m3"


def show_water(liters: float, units: Units = "imperial") -> str:
    """Mix water: quarts (5.5 qt), from 4 gallons up gallons; metric liters."""
    if units == "metric":
        return f"{show_number(liters)} l"
    quarts = liters / QUART_L
    return f"{show_number(quarts, 2)} qt" if quarts < 16 else f"{show_number(quarts / 4)} gal"


def show_mass(kilograms: float, units: Units = "imperial") -> str:
    """668 lb, 50 lb, 22.7 kg; one place below 100."""
    value, unit = (kilograms, "kg") if units == "metric" else (kilograms / POUND_KG, "lb")
    return f"{show_number(value, 1 if value < 100 else 0)} {unit}"


def show_temp(celsius: float, units: Units = "imperial") -> str:
    """68 F or 20 C, whole degrees."""
    return f"{round(celsius)} C" if units == "metric" else f"{round(celsius * 9 / 5 + 32)} F"


def show_warmer(kelvin: float, units: Units = "imperial") -> str:
    """A difference of temperatures: 17 F above dew point. Not for a temperature."""
    return f"{round(kelvin)} C" if units == "metric" else f"{round(kelvin * 9 / 5)} F"


def show_share(share: float) -> str:
    """A share as whole percent: 55 %."""
    return f"{round(share * 100)} %"


def show_times(factor: float) -> str:
    """How many times as long: x1.34."""
    return f"x{factor:.2f}"


def show_longer(factor: float) -> str:
    """A factor on a label's time in words: `1.3 times as long`, `as the label says` when it is no different."""
    return "as the label says" if abs(factor - 1) < 0.05 else f"{factor:.1f} times as long"


def show_minutes(minutes: Minutes) -> str:
    """35 min; from an hour 2 h 15; over 48 h 3 days (whole days, rounded up). Negative ones keep a minus."""
    if minutes < 0:
        return f"-{show_minutes(-minutes)}"
    if minutes < 60:
        return f"{minutes} min"
    if minutes <= 48 * 60:
        hours, rest = divmod(minutes, 60)
        return f"{hours} h {rest:02d}" if rest else f"{hours} h"
    return f"{-(-minutes // (24 * 60))} days"


def show_day(day: date) -> str:
    """Wed 3 Jun."""
    return f"{DAY_NAMES[day.weekday()]} {day.day} {MONTH_NAMES[day.month - 1]}"


def show_wall(moment: datetime | time, style: ClockStyle = "12") -> str:
    """The clock time of a local moment: 7:40, 1:45, 7:40 pm; am or pm only from 6 pm to 6 am. "24": 07:40."""
    if style == "24":
        return f"{moment.hour:02d}:{moment.minute:02d}"
    text = f"{(moment.hour + 11) % 12 + 1}:{moment.minute:02d}"
    if 6 <= moment.hour < 18:
        return text
    return f"{text} {'am' if moment.hour < 12 else 'pm'}"


def show_clock(at: Instant, zone: ZoneInfo, now: Instant, style: ClockStyle = "12") -> str:
    """An instant as said at `now`: today 7:40, this week Wed 7:40, another week Tue 16 Jun (without the time).

    A week runs from Monday to Sunday on the site's calendar.
    """
    moment, present = _local(at, zone), _local(now, zone)
    if moment.date() == present.date():
        return show_wall(moment, style)
    if moment.isocalendar()[:2] == present.isocalendar()[:2]:
        return f"{DAY_NAMES[moment.weekday()]} {show_wall(moment, style)}"
    return show_day(moment.date())


def show_when(at: Instant, zone: ZoneInfo, now: Instant, style: ClockStyle = "12") -> str:
    """As `show_clock`, but with the time in another week too: for sentences, where a day alone says too little."""
    week = _local(at, zone).isocalendar()[:2] == _local(now, zone).isocalendar()[:2]
    return show_clock(at, zone, now, style) if week else show_moment(at, zone, style)


def show_moment(at: Instant, zone: ZoneInfo, style: ClockStyle = "12") -> str:
    """Day and time in full, whatever the week: Wed 3 Jun 7:40."""
    moment = _local(at, zone)
    return f"{show_day(moment.date())} {show_wall(moment, style)}"


def _local(at: Instant, zone: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(at * 60, UTC).astimezone(zone)
