"""Any bytes for a job file: a job, or every problem with its line, what is wrong and how to write it right."""

import random
import time
from collections.abc import Callable

from planning.records.job_file import read_job_bytes
from tests.planning.records.cabin import CABIN, SHORTEST
from tests.planning.records.test_job_file_wrong_values import LINES, check_words, methods
from tests.reliability.sizes import SIZES, SOAK

Tell = Callable[[str], None]
WITHIN_S = 1.0 if SOAK else 5.0


def bytes_of(rng: random.Random, data: bytes) -> bytes:
    """The data with a few bytes changed, cut, doubled or put in."""
    spoiled_data = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(spoiled_data) + 1)
        end = min(len(spoiled_data), at + rng.choice((1, 1, 2, 8, 60)))
        kind = rng.randrange(5)
        if kind == 0 and at < len(spoiled_data):
            spoiled_data[at] ^= 1 << rng.randrange(8)
        elif kind == 1:
            del spoiled_data[at:end]
        elif kind == 2:
            spoiled_data[at:at] = spoiled_data[at:end]
        elif kind == 3:
            spoiled_data[at:at] = rng.choice(
                (b'"', b"[", b"]", b"{", b"\\", b"\n", b"\x1b[2J", b"\x00", b"\xff", b"'''")
            )
        else:
            del spoiled_data[at:]
            spoiled_data += b"\n" * (len(spoiled_data) == 0)
    return bytes(spoiled_data)


STRANGE = (
    "= 1", "[job]", "[[room]]", "[room]", "[[room.part]]", "[room.air]", "[[room.do.change]]", "[[[x]]]", "a.b.c.d = 1",
    "size = " + "9" * 4400, "x = " + "[" * 3000, "in_from = ['outside', 'outside', 'b']", 'id = "a\\u001b[31m"',
    "[a.b]\nc = 1", "on = { }", "on = 1", "do = []", "room = 3", "part = [1]", "person = [[]]", "'' = 1", "[[person]]",
)  # fmt: skip


def lines_of(rng: random.Random, data: bytes) -> bytes:
    """The data with lines left out, doubled, moved, given another's value, or a strange one put in."""
    lines = data.decode().split("\n")
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(lines))
        other = lines[rng.randrange(len(lines))]
        kind = rng.randrange(5)
        if kind == 0:
            del lines[at]
            lines = lines or [""]
        elif kind == 1:
            lines.insert(at, other)
        elif kind == 2:
            lines.insert(rng.randrange(len(lines)), lines.pop(at))
        elif kind == 3 and "=" in other:
            lines[at] = f"{lines[at].partition('=')[0]}={other.partition('=')[2]}"
        else:
            lines.insert(at, rng.choice(STRANGE))
    return "\n".join(lines).encode()


def test_no_spoiled_file_does_anything_but_read_or_say_why_not(tell: Tell) -> None:
    rng = random.Random(20270301)
    short = SHORTEST + "\n".join(LINES[LINES.index('id = "big_bath"') - 1 : LINES.index("[[visit]]")])
    tally = {"read": 0, "refused": 0}
    slowest = 0.0
    for n in range(SIZES.job_files):
        data = (CABIN if n % 10 == 0 else short if n % 2 else SHORTEST).encode()
        data = (bytes_of if rng.random() < 0.5 else lines_of)(rng, data)
        begun = time.process_time()
        job, problems = read_job_bytes(data, "cabin.toml", methods)
        slowest = max(slowest, time.process_time() - begun)
        tally["refused" if job is None else "read"] += 1
        if job is None:
            check_words(problems)
        else:
            assert not problems
    tell(
        f"spoiled job files: {SIZES.job_files}, {tally['refused']} refused with line and remedy, {tally['read']} read,"
        f" 0 tracebacks, the slowest {slowest:.2f} s"
    )
    assert min(tally.values()) > SIZES.job_files * 0.03
    assert slowest < WITHIN_S
