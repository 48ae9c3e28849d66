"""Ways out by other means: a rapid class, somebody who was not on the job before."""

from collections.abc import Iterable

from planning.job.choice import EventDraft
from planning.schedule.build.crews import manned_by
from planning.schedule.ways_out.asking import Found
from planning.schedule.ways_out.extra_hours import days_of, days_said, least_extra
from planning.schedule.ways_out.situation import Situation
from planning.trade.materials import material_classes
from planning.trade.methods import all_methods
from planning.trade.swapped import slots_of

HELPER = "one more helper"
HELPER_CAN = ("carry", "tear-out", "prep", "mix", "prime", "grout")
SETTER = "one more setter"
SETTER_CAN = ("all",)


def rapid_classes(situation: Situation) -> Iterable[Found]:
    """A faster class of the same family in one room, where none of it lies yet."""
    known, methods = material_classes(situation.job), all_methods(situation.job)
    begun = {name.partition("#")[0] for name in situation.built.site.progress.started}
    for room in situation.job.rooms:
        for material in sorted({a.material for step in situation.steps if step.room == room.id for a in step.amounts}):
            faster = known[material].faster if material in known else None
            if faster is None or faster not in known:
                continue
            users = [s for s in situation.steps if s.room == room.id and any(a.material == material for a in s.amounts)]
            swaps = any(slots_of(scope, methods, material) for scope in room.do)
            if not swaps or any(step.id in begun for step in users):
                continue
            draft = EventDraft("class_swapped", {"class": material, "value": faster, "room": room.id})
            trial = situation.trial([draft], patient=True)
            if trial is not None and situation.gains(trial):
                title = known[faster].title
                yield Found(f"{title[:1].upper()}{title[1:]} in the {room.name}", "rapid", trial)


def one_more(situation: Situation) -> Iterable[Found]:
    """A helper, or where he is not enough a setter, on as few days as will do."""
    missing = [step for step in situation.steps if not manned_by(situation.job.people, step.crew)]
    for who, can in ((HELPER, HELPER_CAN), (SETTER, SETTER_CAN)):
        if any(person.name == who for person in situation.job.people) or (missing and who == HELPER):
            continue
        came = EventDraft("came", {"who": who, "can": list(can)})
        found = least_extra(situation, days_of(situation, who), [came])
        if found is not None:
            extras, trial = found
            yield Found(f"{who[:1].upper()}{who[1:]}, {days_said(extras)}", "person", trial)
            return
