"""Somebody sets the clock, the lid closes, the program restarts: no cure is ever called done early."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planning.job.events import effective
from planning.records.clock import JUMP_S, Clock, FrozenClock
from planning.records.clock_change import ask, settle, watch_record
from planning.records.clock_watch import ClockWatch
from planning.records.record import Record
from tests.reliability.sizes import SIZES

TRUE_START = datetime(2026, 6, 1, 13, tzinfo=UTC)
Tell = Callable[[str], None]

DOINGS = st.lists(
    st.one_of(
        st.tuples(st.just("pass"), st.integers(1, 4 * 3600)),
        st.tuples(st.just("jump"), st.sampled_from((3600, -3600, 86400, -86400, 90, -90, 7, -7))),
        st.tuples(st.just("pour"), st.just(0)),
        st.tuples(st.just("restart"), st.just(0)),
        st.tuples(st.just("new boot"), st.integers(30, 3600)),
        st.tuples(st.just("trust wall"), st.just(0)),
        st.tuples(st.just("trust counted"), st.just(0)),
    ),
    min_size=4,
    max_size=30,
)


@dataclass
class Pour:
    """A pour and when it really ended, by a clock nobody can set."""

    step: str
    true: float
    boot: int


class Life:
    """One job on a laptop whose clock is set now and then, and that is switched off and on; `true` cannot be set."""

    def __init__(self, folder: Path, wrong_by_s: int) -> None:
        self.clock = FrozenClock(TRUE_START + timedelta(seconds=wrong_by_s), boot=1000.0, boot_id="b1")
        self.true = 0.0
        self.boots = 1
        self.job = folder / "job.toml"
        self.pours: list[Pour] = []
        self.beyond = 0
        self.asked_in = 1
        self.jumps = self.told = 0
        self.settles = 0
        self._open()

    def _open(self) -> None:
        self.record = Record.open(self.job, self.clock)
        self.watch: ClockWatch = watch_record(self.record)
        self.watch.look()

    def do(self, what: str, amount: int) -> None:
        if what == "pass":
            self._pass(amount)
            self.watch.look()
        elif what == "jump":
            self._jump(amount)
        elif what == "pour":
            self.pours.append(Pour(f"s{len(self.pours)}", self.true, self.boots))
            ask(self.record, self.watch)
            self.record.append("finished", {"step": self.pours[-1].step})
        elif what == "restart":
            self.record.close()
            self._open()
        elif what == "new boot":
            self._boot_again(amount)
        else:
            settled = settle(self.record, self.watch, "clock" if what == "trust wall" else "counted")
            self.settles += bool(settled)
            if settled and what == "trust wall":
                # Whether the clock was wrong in earlier boots too, nobody said: no record can know it.
                self.beyond = self.asked_in

    def _pass(self, seconds: float) -> None:
        self.clock.advance(seconds)
        self.true += seconds

    def _boot_again(self, off_s: int) -> None:
        self.record.close()
        self.boots += 1
        if not self.watch.doubt_s:
            self.asked_in = self.boots
        self._pass(off_s)
        self.clock = FrozenClock(self.clock.wall(), boot=5.0, boot_id=f"b{self.boots}")
        self._open()

    def _jump(self, seconds: int) -> None:
        before = self.watch.doubt_s
        self.clock.jump_wall(seconds)
        self._pass(1)
        news = self.watch.look()
        if abs(before) <= JUMP_S:
            self.asked_in = self.boots
        ask(self.record, self.watch)
        if abs(self.watch.doubt_s - before) > JUMP_S:
            self.jumps += 1
            self.told += news is not None and news.jump_s != 0

    def _known(self) -> list[Pour]:
        return [pour for pour in self.pours if pour.boot >= self.beyond]

    def early(self, cure_s: int) -> list[str]:
        """Pours whose cure is said to be over before it is: by the watch, at the earliest that it can be now."""
        now = self.watch.earliest()
        noted = {e.body["step"]: e.at for e in effective(self.record.events()) if e.kind == "finished"}
        over = [pour for pour in self._known() if now >= noted[pour.step] + timedelta(seconds=cure_s)]
        return [pour.step for pour in over if self.true < pour.true + cure_s - 2 * JUMP_S]

    def late_windows(self, within_s: int) -> list[str]:
        """Pours whose recoat window is said to be open after it has shut: at the latest that it can be now."""
        now = self.watch.latest()
        noted = {e.body["step"]: e.at for e in effective(self.record.events()) if e.kind == "finished"}
        open_still = [pour for pour in self._known() if now <= noted[pour.step] + timedelta(seconds=within_s)]
        return [pour.step for pour in open_still if self.true > pour.true + within_s + 2 * JUMP_S]


def test_whatever_happens_to_the_clock_no_cure_ends_early_and_no_window_stays_open(tell: Tell) -> None:
    seen = {"pours": 0, "jumps": 0, "told": 0, "settled": 0}

    @settings(max_examples=SIZES.clock_lives, deadline=None, suppress_health_check=list(HealthCheck))
    @given(DOINGS, st.sampled_from((0, 86400, -86400, 3600)))
    def live(doings: list[tuple[str, int]], wrong_by_s: int) -> None:
        with TemporaryDirectory(dir=_memory()) as folder:
            life = Life(Path(folder), wrong_by_s)
            for what, amount in doings:
                life.do(what, amount)
                for hours in (1, 6, 24):
                    assert life.early(hours * 3600) == []
                    assert life.late_windows(hours * 3600) == []
            assert life.told == life.jumps, "a jump was not told at the next tick"
            noted = [e.body["step"] for e in life.record.events() if e.kind == "finished"]
            assert noted == [pour.step for pour in life.pours], "the order is the order of noting"
            life.record.close()
            for key, value in (("pours", len(life.pours)), ("jumps", life.jumps), ("told", life.told)):
                seen[key] += value
            seen["settled"] += life.settles

    live()
    tell(
        f"clock set: {SIZES.clock_lives} lives, {seen['pours']} cures, {seen['jumps']} jumps, {seen['told']} told"
        f" at the next tick, {seen['settled']} settled; 0 cures early, 0 windows open too long"
    )
    assert seen["pours"] > SIZES.clock_lives / 2
    assert seen["jumps"] > SIZES.clock_lives / 2


def _memory() -> str | None:
    return "/dev/shm" if Path("/dev/shm").is_dir() else None


def test_believing_the_wall_clock_alone_calls_a_cure_done_early(tmp_path: Path) -> None:
    clock: Clock = FrozenClock(TRUE_START, 1000.0, "b1")
    assert isinstance(clock, FrozenClock)
    with Record.open(tmp_path / "job.toml", clock) as record:
        poured = record.append("finished", {"step": "s"})
        clock.advance(600)
        clock.jump_wall(3600)
        assert clock.wall() >= poured.at + timedelta(hours=1), "the control is early"
        watch = watch_record(record)
        assert watch.earliest() < poured.at + timedelta(hours=1), "the watch, begun after the jump, is not"


def test_a_clock_24_hours_wrong_at_the_start_and_put_right_later_moves_no_cure(tmp_path: Path) -> None:
    for wrong in (86400, -86400):
        clock = FrozenClock(TRUE_START + timedelta(seconds=wrong), 10.0, f"b{wrong}")
        with Record.open(tmp_path / f"job{wrong}.toml", clock) as record:
            watch = watch_record(record)
            record.append("finished", {"step": "s"})
            clock.advance(3600)
            clock.jump_wall(-wrong)
            clock.advance(1)
            news = watch.look()
            assert news is not None
            assert round(news.jump_s) == -wrong
            settle(record, watch, "clock")
            (poured,) = [e for e in effective(record.events()) if e.kind == "finished"]
            assert poured.at == TRUE_START
            assert watch.wall() - poured.at == timedelta(seconds=3601)


def test_three_hours_under_a_closed_lid_are_one_gap_told_once(tmp_path: Path) -> None:
    clock = FrozenClock(TRUE_START, 10.0, "b1")
    with Record.open(tmp_path / "job.toml", clock) as record:
        watch = watch_record(record)
        due = record.append("finished", {"step": "s"}).at + timedelta(hours=1)
        clock.advance(3 * 3600)
        news = watch.look()
        assert news is not None
        assert (news.gap_s, news.jump_s) == (3 * 3600, 0)
        assert watch.wall() - due == timedelta(hours=2), "overdue 2 h, from the clock and not counted down"
        clock.advance(1)
        assert watch.look() is None
