"""Bits flip, blocks go, files are cut: it is seen, said in one line, and the file stays as it is."""

import random
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.job.events import Event
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from planning.records.rescue import rescue
from planning.records.saved_plan import read_saved, saved_path, write_saved
from planning.records.transfer import export_text
from planning.records.transfer_text import BadExportError, Carried, read_text
from tests.planning.records.test_saved_plan import a_plan
from tests.reliability.sizes import SIZES

SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)
NOTES = 60
Tell = Callable[[str], None]
Mutation = Callable[[bytes, random.Random], bytes]


def flip(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data))
    return data[:at] + bytes([data[at] ^ 1 << chance.randrange(8)]) + data[at + 1 :]


def cut(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data))]


def zero_block(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(0, len(data), 512)
    return data[:at] + bytes(len(data[at : at + 512])) + data[at + 512 :]


def noise(data: bytes, chance: random.Random) -> bytes:
    at, length = chance.randrange(len(data)), chance.randrange(1, 64)
    return data[:at] + chance.randbytes(len(data[at : at + length])) + data[at + length :]


def header_flip(data: bytes, chance: random.Random) -> bytes:
    return flip(data[:100], chance) + data[100:]


MUTATIONS: tuple[Mutation, ...] = (flip, flip, cut, zero_block, noise, header_flip)


@pytest.fixture
def whole(memory_folder: Path) -> tuple[Path, tuple[Event, ...]]:
    job = memory_folder / "whole.toml"
    job.write_text("x")
    chance = random.Random(1)
    with Record.open(job, FrozenClock(SEVEN, 1.0, "b1")) as record:
        for number in range(NOTES):
            record.append("note", {"value": f"{number} " + "abc" * chance.randrange(60)})
        return job.with_suffix(".record"), record.events()


def test_no_damage_to_a_record_goes_unseen(whole: tuple[Path, tuple[Event, ...]], tell: Tell) -> None:
    path, events = whole
    data = path.read_bytes()
    job = path.with_name("hurt.toml")
    hurt = job.with_suffix(".record")
    chance = random.Random(7)
    by_id = {event.id: event for event in events}
    seen = harmless = shown = 0
    for number in range(SIZES.damaged):
        variant = MUTATIONS[number % len(MUTATIONS)](data, chance)
        hurt.write_bytes(variant)
        with Record.open(job, FrozenClock(SEVEN)) as record:
            read, trouble = record.events(), record.trouble
            if trouble is None and variant:
                assert read == events, "damage went unseen"
                harmless += 1
            elif trouble is not None:
                assert_refuses(record, trouble)
                assert all(by_id[event.id] == event for event in read), "something was read that was never written"
                seen += 1
                shown += len(read)
        assert hurt.read_bytes() == variant
        assert sorted(p.name for p in hurt.parent.iterdir()) == ["hurt.record", "whole.record", "whole.toml"]
        if trouble is None and variant:
            assert_goes_on(job, len(events))
    tell(
        f"damaged records: {SIZES.damaged} variants, {seen} seen, {harmless} harmless, 0 unseen, 0 tracebacks;"
        f" {shown / max(seen, 1) / len(events):.0%} of events still shown"
    )
    assert seen > SIZES.damaged / 3


def assert_refuses(record: Record, trouble: str) -> None:
    assert "\n" not in trouble
    with pytest.raises(NotSaved):
        record.append("note", {})


def assert_goes_on(job: Path, count: int) -> None:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        record.append("note", {"value": "after"})
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        assert len(record.events()) == count + 1


def test_without_a_checksum_on_each_event_damage_would_go_unseen(
    whole: tuple[Path, tuple[Event, ...]], monkeypatch: pytest.MonkeyPatch, tell: Tell
) -> None:
    path, events = whole
    data = path.read_bytes()
    job = path.with_name("hurt.toml")
    chance = random.Random(8)
    monkeypatch.setattr("planning.records.record_row.Row.crc", property(lambda _row: AnyNumber()))
    unseen = 0
    for _ in range(200):
        job.with_suffix(".record").write_bytes(flip(data, chance))
        with Record.open(job, FrozenClock(SEVEN)) as record:
            unseen += record.trouble is None and record.events() != events
    tell(f"damaged records, control without our own checksum: {unseen} of 200 flipped bits unseen")
    assert unseen > 0


class AnyNumber(int):
    """Equal to everything."""

    def __ne__(self, _other: object) -> bool:
        return False

    __hash__ = int.__hash__


def test_every_damaged_record_can_be_rescued_and_gone_on_with(
    whole: tuple[Path, tuple[Event, ...]], tell: Tell
) -> None:
    path, _ = whole
    data = path.read_bytes()
    chance = random.Random(9)
    rescued = 0
    for number in range(60):
        folder = path.parent / str(number)
        folder.mkdir()
        job = folder / "hurt.toml"
        job.with_suffix(".record").write_bytes(MUTATIONS[number % len(MUTATIONS)](data, chance))
        with Record.open(job, FrozenClock(SEVEN)) as record:
            damaged, read = record.damaged, record.events()
        if damaged:
            rescue(job, FrozenClock(SEVEN))
            with Record.open(job, FrozenClock(SEVEN)) as record:
                assert record.trouble is None
                assert [e.id for e in record.events()[: len(read)]] == [e.id for e in read]
                record.append("note", {})
            rescued += 1
        shutil.rmtree(folder)
    tell(f"damaged records: {rescued} rescued into a new record, nothing readable left behind")
    assert rescued > 15


def test_no_damage_to_a_saved_plan_goes_unseen(memory_folder: Path, tell: Tell) -> None:
    job = memory_folder / "house.toml"
    write_saved(job, a_plan(), "hash", {"a": 1})
    data = saved_path(job).read_bytes()
    chance = random.Random(10)
    for number in range(SIZES.saved_plans):
        variant = MUTATIONS[number % len(MUTATIONS)](data, chance)
        if variant != data:
            saved_path(job).write_bytes(variant)
            assert read_saved(job) is None
    tell(f"damaged saved plans: {SIZES.saved_plans} variants, all read as no plan, 0 tracebacks")


def test_no_damage_to_an_export_is_read_in(whole: tuple[Path, tuple[Event, ...]], tell: Tell) -> None:
    data = export_text(whole[0].with_suffix(".toml")).encode()
    good = read_text("x", data)
    chance = random.Random(11)
    refused = 0
    for number in range(SIZES.exports):
        variant = MUTATIONS[number % len(MUTATIONS)](data, chance)
        line = refusal(variant, good)
        assert "\n" not in line
        refused += bool(line)
    tell(f"damaged exports: {SIZES.exports} variants, {refused} refused by file and line, the rest read exactly")
    assert refused > SIZES.exports / 2


def refusal(data: bytes, good: Carried) -> str:
    try:
        read = read_text("x", data)
    except BadExportError as wrong:
        return str(wrong)
    assert read == good
    return ""
