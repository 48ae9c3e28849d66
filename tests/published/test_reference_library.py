"""Our psychrometrics against the reference library PsychroLib, over a grid of room air."""

import itertools
from collections.abc import Callable

import psychrolib
import pytest

from planning.quantities.psychro import dew_point_c, saturated_at_c, saturation_pa, vapor_deficit_pa

TEMPERATURES = range(5, 51, 5)
HUMIDITIES = [h / 100 for h in range(10, 100, 5)]
psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("air_c", [*range(-20, 0, 5), 0.0, 0.01, 0.02, *range(1, 61)])
def test_saturation_pressure_is_the_librarys(air_c: float) -> None:
    assert saturation_pa(air_c) == pytest.approx(psychrolib.GetSatVapPres(air_c), rel=1e-9)


@pytest.mark.parametrize("air_c", TEMPERATURES)
def test_vapor_deficit_is_the_librarys_on_every_surface(air_c: float) -> None:
    for humidity, surface in itertools.product(HUMIDITIES, TEMPERATURES):
        library = psychrolib.GetSatVapPres(surface) - psychrolib.GetVapPresFromRelHum(air_c, humidity)
        assert vapor_deficit_pa(air_c, humidity, surface) == pytest.approx(library, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("air_c", TEMPERATURES)
@pytest.mark.parametrize("humidity", HUMIDITIES)
def test_dew_point_is_the_librarys(air_c: float, humidity: float) -> None:
    """The library stops its search within 0.001 C."""
    library = psychrolib.GetTDewPointFromRelHum(air_c, humidity)
    assert dew_point_c(air_c, humidity) == pytest.approx(library, abs=0.002)


@pytest.mark.parametrize("air_c", [-40.0, -5.0, 0.0, 0.02, 12.3, 23.0, 49.9])
def test_dew_point_is_the_reverse_of_saturation(air_c: float) -> None:
    assert saturated_at_c(saturation_pa(air_c)) == pytest.approx(air_c, abs=1e-7)


def test_saturated_air_has_its_own_temperature_as_dew_point() -> None:
    assert dew_point_c(21.0, 1.0) == pytest.approx(21.0, abs=1e-7)


@pytest.mark.parametrize(
    "ask", [lambda: saturation_pa(300.0), lambda: dew_point_c(20.0, 0.0), lambda: dew_point_c(20, 55)]
)
def test_air_that_cannot_be_is_refused_with_how_to_write_it(ask: Callable[[], float]) -> None:
    with pytest.raises(ValueError, match=r"Celsius|humidity"):
        ask()
