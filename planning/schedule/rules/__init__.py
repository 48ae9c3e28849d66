"""What a plan may never do: one named class a rule, looking at a plan and at its job, never at the solver."""

from planning.schedule.rules.air import BeginsWetWorkInGoodAir
from planning.schedule.rules.case import Case
from planning.schedule.rules.consequences import (
    EndsWithItsLastStep,
    SaysWhatTheHouseGoesWithout,
    SaysWhenFloorsAreReady,
    SaysWhenWindowsOpenAndShut,
)
from planning.schedule.rules.evidence import CoversOnlyWhatWasProved
from planning.schedule.rules.floors import NobodyIsShutInOrOut, OneWetTradeAtATime, StandsOnNoGreenFloor
from planning.schedule.rules.hours import (
    HasPowerAndWater,
    IsDoneByTheEndOfTheDay,
    KeepsQuietHours,
    PausesOnlyForTheMeal,
    WorksInsideHours,
)
from planning.schedule.rules.house import LeavesAToiletEachPromisedNight
from planning.schedule.rules.people import HasTheSkillsItTakes, IsThere, NoMoreGearThanThereIs, OnePlaceAtATime
from planning.schedule.rules.pours import PourFitsItsWorkingTime
from planning.schedule.rules.readiness import FollowsWhatComesBefore, HasItsAnswer, HasItsDelivery, HasItsErrand
from planning.schedule.rules.record import KeepsWhatHappened, StartsNothingInThePast, WaitsAsLongAsWasSaid
from planning.schedule.rules.rule import Rule
from planning.schedule.rules.same_job import (
    CopiesTheJobRightly,
    HasEveryStepOnce,
    StartsOnTheAxis,
    TakesItsWholeLabour,
)
from planning.schedule.rules.visits import CoversOnlyWhatWasSeen, KeepsVisits, UnbookedVisitsCanBeBooked
from planning.schedule.rules.windows import StartsBeforeItsWindowShuts, StartsNoEarlierThanItsWait

ALL_RULES: tuple[Rule, ...] = (
    HasEveryStepOnce(),
    TakesItsWholeLabour(),
    StartsOnTheAxis(),
    CopiesTheJobRightly(),
    SaysWhenFloorsAreReady(),
    SaysWhenWindowsOpenAndShut(),
    SaysWhatTheHouseGoesWithout(),
    EndsWithItsLastStep(),
    StartsNoEarlierThanItsWait(),
    StartsBeforeItsWindowShuts(),
    WorksInsideHours(),
    PausesOnlyForTheMeal(),
    KeepsQuietHours(),
    OnePlaceAtATime(),
    HasTheSkillsItTakes(),
    IsThere(),
    NoMoreGearThanThereIs(),
    OneWetTradeAtATime(),
    StandsOnNoGreenFloor(),
    NobodyIsShutInOrOut(),
    FollowsWhatComesBefore(),
    HasItsDelivery(),
    HasItsAnswer(),
    HasItsErrand(),
    CoversOnlyWhatWasProved(),
    HasPowerAndWater(),
    KeepsVisits(),
    UnbookedVisitsCanBeBooked(),
    CoversOnlyWhatWasSeen(),
    LeavesAToiletEachPromisedNight(),
    BeginsWetWorkInGoodAir(),
    PourFitsItsWorkingTime(),
    IsDoneByTheEndOfTheDay(),
    KeepsWhatHappened(),
    StartsNothingInThePast(),
    WaitsAsLongAsWasSaid(),
)
"""Every rule, in the order of its number. Rules share nothing but the case, so any one may be left out."""

__all__ = ["ALL_RULES", "Case", "Rule"]
