"""The note for tonight: what was done, what to stay off until when, what we need. For the owner or the contractor.

Times of ours that lie ahead are the slow case, rounded up to the quarter hour; times behind are as noted, and what
others agreed on is as agreed. No product names; wages, phones and the setter's notes to himself stay out of it.
"""

from collections.abc import Iterable, Iterator

from planning.handover.evening import Evening
from planning.handover.note import Audience, Note, Section
from planning.handover.private import screened
from planning.handover.sections import ahead, changes, crew, done, house, questions, stuff, visits
from planning.handover.told import dates_told, last_told
from planning.quantities.show import show_day


def make_note(facts: Evening, audience: Audience = "owner", long: bool = False) -> Note:
    """The note for one reader. The contractor's is long by itself; `long` gives the owner materials and logs too."""
    dates = dates_told(facts)
    before = last_told(facts.events, audience, facts.today)
    since = f"Since {show_day(before.day)}" if before is not None else ""
    found: list[tuple[str, str, list[str]]] = [
        ("questions", "Not sure yet", questions.question_lines(facts)),
        ("since", since, changes.since_told(facts, before, dates)),
        ("done", "Done today", done.done_today(facts)),
        ("progress", "How far", done.progress_lines(facts)),
        ("stay_off", "Please stay off", house.stay_off(facts)),
        ("tonight", "Tonight", house.tonight(facts)),
        ("inspection", "Inspection", visits.inspections(facts)),
        ("need", "We need", ahead.we_need(facts)),
        ("found", "Found and added", changes.found(facts)),
        ("late", "Ran late", changes.ran_late(facts)),
        ("next", ahead.next_heading(facts), ahead.next_day(facts, names=audience == "contractor")),
        ("last_day", "Last day", ahead.last_day(facts)),
    ]
    if audience == "contractor":
        found += [("people", "People and hours", crew.people_and_hours(facts))]
    if long or audience == "contractor":
        found += [
            ("materials", "Used", stuff.materials(facts)),
            ("readings", "Readings", stuff.proofs(facts)),
            ("air", "Air", stuff.air_log(facts)),
        ]
    found += [("mind", "Please mind", stuff.cautions(facts, audience))]
    sections = tuple(Section(key, heading, tuple(_leaves(key, lines))) for key, heading, lines in found if lines)
    shares = done.room_shares(facts)
    return Note(facts.job.name, facts.today, audience, crew.on_site_words(facts), sections, shares, dates)


def _leaves(key: str, lines: Iterable[str]) -> Iterator[str]:
    """The lines as they may leave: everything the setter typed is in them. Lot numbers look like phones and stay."""
    return (line if key == "materials" else screened(line) for line in lines)
