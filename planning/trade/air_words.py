"""What the air does to work, in sentences for the setter: why it holds, and what was done to a label's time."""

from math import ceil, floor

from planning.job.place import Air
from planning.job.step import Wait
from planning.job.words import Instant, Kind, Law, Units
from planning.trade.air_course import SiteAir
from planning.trade.air_laws import (
    COLDEST_C,
    DRYING_LAWS,
    HOTTEST_C,
    beyond_limits,
    least_surface_c,
    no_time_told,
    will_not_dry,
)
