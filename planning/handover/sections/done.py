"""What was done today, with the times noted, and how far each room is by its labour."""

from collections.abc import Sequence

from planning.handover.evening import Evening
from planning.handover.note import RoomShare
from planning.handover.wording import listed, owner_time, pieces_words, plural, room_name
from planning.job.events import Event
from planning.job.plan import PlannedStep


def done_today(facts: Evening) -> list[str]:
    """What was finished, and what was begun, by room, with the noted times."""
    lines = []
    for room in facts.plan.rooms:
        mine = [step for step in facts.plan.steps if step.room == room.id]
        said = [words for pieces in _together(facts, mine) for words in _done_words(facts, pieces)]
        photos = sum(1 for e in facts.noted if e.kind == "photo" and _room_of(e) == room.id)
        if photos:
            said.append(plural(photos, "photo"))
        if said:
            lines.append(f"{room_name(facts.plan, room.id, None)}: {'; '.join(said)}.")
    return lines


def _together(facts: Evening, steps: Sequence[PlannedStep]) -> list[list[PlannedStep]]:
    """The steps in order of time; pieces of one step that were done today stand together."""
    groups: dict[str, list[PlannedStep]] = {}
    for step in sorted(steps, key=lambda each: (facts.progress.started.get(each.id, each.start), each.id)):
        done = facts.progress.finished.get(step.id)
        whole = step.piece.of if step.piece is not None and done is not None and facts.is_today(done) else step.id
        groups.setdefault(whole, []).append(step)
    return list(groups.values())


def _done_words(facts: Evening, pieces: Sequence[PlannedStep]) -> list[str]:
    first, last = pieces[0], pieces[-1]
    finished = facts.progress.finished.get(last.id)
    started = facts.progress.started.get(first.id)
    words = pieces_words(pieces, facts.step_of(first))
    if finished is not None and facts.is_today(finished):
        since = "" if started in (None, finished) else f"{facts.wall(started or finished)} to "
        return [f"{words} ({since}{facts.wall(finished)})"]
    if finished is None and started is not None and facts.is_today(started):
        return [f"{words} (begun {facts.wall(started)}, not done)"]
    return []


def _room_of(event: Event) -> str:
    step = str(event.body.get("step", ""))
    return str(event.body.get("room") or step.split("/")[0].split(".")[0])


def room_shares(facts: Evening) -> tuple[RoomShare, ...]:
    """Each room's share of labour done, before today and today, in hundredths; rooms without work are left out.

    Only what is marked done counts. Halves round down, so that 100 is said when all is done and not before.
    """
    found = []
    for planned in facts.plan.rooms:
        weights = {step.id: _weight(facts, step) for step in facts.plan.steps if step.room == planned.id}
        whole = sum(weights.values())
        if not whole:
            continue
        done = {step: facts.progress.finished[step] for step in weights if step in facts.progress.finished}
        before = sum(weights[step] for step, at in done.items() if facts.day(at) < facts.today)
        all_done = sum(weights[step] for step in done)
        room = facts.job.room(planned.id)
        now, then = int(100 * all_done / whole + 1e-9), int(100 * before / whole + 1e-9)
        name = room_name(facts.plan, planned.id, None)
        found.append(RoomShare(room.id, name, room.length_m, room.width_m, then, now - then, _off(facts, room.id)))
    return tuple(found)


def _weight(facts: Evening, planned: PlannedStep) -> float:
    """Person-minutes of a step as reckoned, not as they went: else a slow step would look like more work."""
    step = facts.step_of(planned)
    if step is None:
        return 0.0
    share = planned.piece.share if planned.piece else 1.0
    return step.labour.typical * share * max(1, len(step.crew))


def _off(facts: Evening, room: str) -> str:
    walks = [each for each in facts.standing if each.room == room and each.what == "walk"]
    if not walks:
        return ""
    parts = [] if any(each.part is None for each in walks) else sorted({str(each.part) for each in walks})
    whole = len(parts) == len(facts.job.room(room).floors) or not parts
    where = "" if whole else f"{listed([part.replace('-', ' ') for part in parts])}, "
    if any(each.until is None or not each.told for each in walks):
        return f"{where}till we tell you"
    return f"{where}till {owner_time(max(each.until or 0 for each in walks), facts.job.zone, facts.now)}"


def progress_lines(facts: Evening) -> list[str]:
    """`Kitchen: 42 of 100, was 30 this morning.`"""
    lines = []
    for share in room_shares(facts):
        if not share.done:
            continue
        was = f", {share.before} this morning" if share.today else ""
        lines.append(f"{share.name}: {'all done' if share.done == 100 else f'{share.done} of 100 parts'}{was}.")
    return lines
