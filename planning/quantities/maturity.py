"""Cement maturity after ASTM C1074: how old a cement material is in hours of some standard temperature.

Both forms of the practice are here. It is a strength law of one mix in wet cement between 5 and 40 C; using it for set,
walk-on and waiting times is an engineering extension. It does not hold for drying, sealants or membranes, and rapid
cements follow it only roughly.
"""

import math
from collections.abc import Iterable
from functools import lru_cache

KELVIN = 273.15
ACTIVATION_K = 5000.0
"""Q = Ea/R of Type I cement without admixture (ASTM C1074; the clause was seen quoted, not in the standard itself)."""
LABEL_C = 23.0
"""Bag times are printed for 23 C, so equivalent age is counted at 23 C here; the practice itself often uses 20 C."""
LEAST_C = 5.0
"""Below this cement all but stops while the Arrhenius form still counts on: nothing is counted there."""

History = Iterable[tuple[float, float]]
"""(hours, material temperature in Celsius) one after the other."""


@lru_cache(maxsize=4096)
def age_factor(material_c: float, label_c: float = LABEL_C, activation_k: float = ACTIVATION_K) -> float:
    """Hours of standard curing that one hour at this material temperature is worth (Arrhenius form)."""
    return math.exp(-activation_k * (1.0 / (material_c + KELVIN) - 1.0 / (label_c + KELVIN)))


def equivalent_age_h(history: History, label_c: float = LABEL_C, activation_k: float = ACTIVATION_K) -> float:
    """Equivalent age in hours at `label_c` of a temperature history (ASTM C1074, Arrhenius form)."""
    return sum(hours * age_factor(material_c, label_c, activation_k) for hours, material_c in history)


def temperature_time_c_h(history: History, datum_c: float = 0.0) -> float:
    """Temperature-time factor in degree-hours above a datum (ASTM C1074, Nurse-Saul form).

    Datum 0 C is the practice's for Type I cement without admixture; textbooks also use -10 and -11 C.
    """
    return sum(hours * max(0.0, material_c - datum_c) for hours, material_c in history)


def eurocode_factor(material_c: float) -> float:
    """The same idea as EN 1992-1-1 B.10 counts it, against 20 C (formula from memory; for comparison only)."""
    return math.exp(13.65 - 4000.0 / (273.0 + material_c))
