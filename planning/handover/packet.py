"""The closing packet that stays in the house: lots, flood log, evidence, first-use dates, care, leftover tile."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planning.handover.as_page import block, page, safe
from planning.handover.as_text import sections_text
from planning.handover.care import care_lines
from planning.handover.evening import Evening
from planning.handover.note import Section
from planning.handover.private import screened
from planning.handover.proofs import FloodTest, evidence_of, flood_tests
from planning.handover.release_table import USE_WORDS, FloorRow, floor_rows
from planning.handover.sections.stuff import lot_of, used_of
from planning.handover.sections.visits import RESULTS, flood_words
from planning.handover.wording import day_words, listed, owner_time, plural, quarter_up, room_name
from planning.job.events import effective
from planning.job.progress import visit_word
from planning.job.step import Step
from planning.quantities.show import show_day
from planning.supply.count_words import count_words
from planning.trade.materials import MaterialClass, material_classes

TILE = "tile"
DISCLAIMER = (
    "This is what was noted while the work went on. It is no warranty and no certificate: the maker's sheets, the "
    "inspector and the code have the last word."
)


@dataclass(frozen=True, slots=True)
class Packet:
    """The packet of one job. What is missing in it stands first until it is noted."""

    job: str
    day: date
    sections: tuple[Section, ...]


def make_packet(facts: Evening) -> Packet:
    """The packet as of the evening of `facts`. Before the job's end it says what is still missing."""
    known = material_classes(facts.job)
    found: list[tuple[str, str, Sequence[str]]] = [
        ("missing", "Still missing", _missing(facts)),
        ("first_use", "First use", _first_use(facts)),
        ("care", "Care", care_lines(_laid(facts), known)),
        ("inspections", "Inspections", _passed(facts)),
        ("flood", "Flood test", [flood_words(facts, each) for each in _floods(facts)]),
        ("lots", "Materials and lots", _lots(facts, known)),
        ("evidence", "Photos and readings", _evidence(facts)),
        ("leftover", "Leftover tile", _leftover(facts, known)),
        ("return", "We come back", _returns(facts)),
        ("note", "What this is", [DISCLAIMER]),
    ]
    sections = tuple(
        Section(key, heading, tuple(line if key == "lots" else screened(line) for line in lines))
        for key, heading, lines in found
        if lines
    )
    return Packet(facts.job.name, facts.today, sections)


def packet_text(packet: Packet) -> str:
    """The packet as plain text."""
    head = f"{packet.job.upper()}: CLOSING PACKET    {show_day(packet.day)} {packet.day.year}"
    return sections_text([head], packet.sections)


def packet_page(packet: Packet) -> str:
    """The packet as a page to print."""
    title = f"{packet.job}: closing packet"
    body = [f"<h1>{safe(title)}</h1>", f"<p>{show_day(packet.day)} {packet.day.year}</p>"]
    for each in packet.sections:
        frame = ' class="ask"' if each.key == "missing" else ""
        body += [f"<section{frame}>", *block(each.heading, each.lines), "</section>"]
    return page(title, body)


def _done(facts: Evening, step: Step) -> bool:
    pieces = [p.id for p in facts.plan.steps if (p.piece.of if p.piece else p.id) == step.id] or [step.id]
    return all(piece in facts.progress.finished for piece in pieces)


def _laid(facts: Evening) -> list[str]:
    """The classes of the steps done, in the order of work."""
    return list(dict.fromkeys(a.material for step in facts.steps if _done(facts, step) for a in step.amounts))


def _missing(facts: Evening) -> list[str]:
    """What the setter has still to do or to note before the packet is whole."""
    back = {step.piece.of if step.piece else step.id for visit in facts.last.returns for step in visit.steps}
    left = [step for step in facts.steps if not _done(facts, step) and step.id not in back]
    lines = [f"{plural(len(left), 'step')} not marked done: {listed([step.title for step in left[:6]])}"
             + (f" and {len(left) - 6} more." if len(left) > 6 else ".")] if left else []  # fmt: skip
    for step in facts.steps:
        asks = [each.asks for each in evidence_of(step, facts.events) if not each.proofs] if _done(facts, step) else []
        if asks:
            lines.append(f"{room_name(facts.plan, step.room, step.part)}, {step.title}: {listed(asks)} not noted.")
    seen = {visit.id: visit for visit in facts.plan.visits if visit.id not in facts.progress.visit_results}
    lines += [f"{v.who.capitalize()}, {facts.job.room(v.room).name}, {v.sees or 'visit'}: not said how it went."
              for v in seen.values()]  # fmt: skip
    without = [title for title, lots in _by_class(facts).items() if not lots]
    return [*lines, *([f"No lot number noted: {listed(without)}."] if without else [])]


def _first_use(facts: Evening) -> list[str]:
    """From when each floor may be walked on, wetted and loaded: the slow case of the work as it was done."""
    lines = []
    for row in floor_rows(facts):
        said = [f"{USE_WORDS[each.use]} {_from(facts, row, each.use)}" for each in row.uses if each.use != "trades"]
        lines.append(f"{room_name(facts.plan, row.room, row.part)}: {'; '.join(said)}.")
    return lines


def _from(facts: Evening, row: FloorRow, use: str) -> str:
    safe_at = next(each.safe for each in row.uses if each.use == use)
    if safe_at is None:
        return "when we tell you"
    if quarter_up(safe_at) <= facts.now:
        return "now"
    return f"from {owner_time(safe_at, facts.job.zone, facts.now)}"


def _passed(facts: Evening) -> list[str]:
    lines = []
    for visit in facts.plan.visits:
        result = facts.progress.visit_results.get(visit.id)
        word = visit_word(result)
        if word is None:
            continue
        day = day_words(facts.progress.visit_noted.get(visit.id, visit.start), facts.job.zone)
        seen = (s.title for s in facts.steps if s.room == visit.room and s.key == visit.sees)
        what = f"{next(seen, visit.sees or 'visit')}, {facts.job.room(visit.room).name}"
        said = screened(str(result)).rstrip(".")
        more = "" if said.casefold() == word else f" {said}."
        lines.append(f"{what[:1].upper()}{what[1:]}: {RESULTS[word]}, {visit.who}, {day}.{more}")
    return lines


def _floods(facts: Evening) -> list[FloodTest]:
    return [
        each for each in flood_tests(facts.plan, facts.steps, facts.events, facts.progress) if each.filled is not None
    ]


def _by_class(facts: Evening) -> Mapping[str, list[str]]:
    """Class title -> lots noted, for everything of which packages were noted as used."""
    known, found = material_classes(facts.job), dict[str, list[str]]()
    for event in effective(facts.events):
        if event.kind == "used":
            key = str(event.body.get("class", ""))
            lots = found.setdefault(known[key].title if key in known else key, [])
            lots += [lot for lot in [lot_of(event)] if lot and lot not in lots]
    return found


def _lots(facts: Evening, known: Mapping[str, MaterialClass]) -> list[str]:
    lots, lines = _by_class(facts), []
    for key, count in used_of(facts.events).items():
        title = known[key].title if key in known else key
        package = known[key].package.name if key in known else "piece"
        lot = f", lot {', '.join(lots[title])}" if lots[title] else ""
        lines.append(f"{title}: {count_words(count, package)}{lot}.")
    return lines


def _evidence(facts: Evening) -> list[str]:
    """What was kept of each step that asks for something; the setter's own notes stay with him."""
    lines = []
    for step in facts.steps:
        for each in evidence_of(step, facts.events):
            if each.proofs:
                kept = [f"{day_words(p.at, facts.job.zone)} {_kept(p.kind, p.words)}".strip() for p in each.proofs]
                place = room_name(facts.plan, step.room, step.part)
                lines.append(f"{place}, {step.title}, {each.asks}: {'; '.join(kept)}.")
    return lines


def _kept(kind: str, words: str) -> str:
    return "noted" if kind == "note" or not words else screened(words)


def _leftover(facts: Evening, known: Mapping[str, MaterialClass]) -> list[str]:
    """What tile stays in the house: as counted last, else the way to count it."""
    wanted = list(dict.fromkeys(a.material for s in facts.steps for a in s.amounts
                                if a.material in known and known[a.material].family == TILE))  # fmt: skip
    counted = {
        str(e.body.get("class", "")): e.body.get("value") for e in effective(facts.events) if e.kind == "van_has"
    }
    lines = []
    for key in wanted:
        count = counted.get(key)
        if isinstance(count, int | float):
            lines.append(f"{known[key].title}: {count_words(float(count), known[key].package.name)} left with you.")
        else:
            lines.append(
                f"{known[key].title}: not counted yet; keep what is left, a later tile is never quite the same."
            )
    return lines


def _returns(facts: Evening) -> list[str]:
    return [
        f"By {day_words(quarter_up(visit.safe), facts.job.zone)}: "
        f"{listed(list(dict.fromkeys(facts.title(step) for step in visit.steps)))}."
        for visit in facts.last.returns
        if visit.safe > facts.now
    ]
