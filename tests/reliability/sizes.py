"""How much of each reliability test is run: a little at every change, a lot before a release."""

import os
from dataclasses import dataclass

SOAK = os.environ.get("MUDDAY_SOAK", "") not in ("", "0")


@dataclass(frozen=True)
class Sizes:
    """Counts of one level."""

    kills: int
    save_kills: int
    cut_disks: int
    damaged: int
    saved_plans: int
    two_windows_s: float
    taps: int
    lives: int
    life_steps: int
    clock_lives: int
    exports: int
    command_kills: int


CI = Sizes(
    kills=300, save_kills=200, cut_disks=6_800, damaged=1_000, saved_plans=2_000, two_windows_s=6.0, taps=1_000,
    lives=200, life_steps=50, clock_lives=150, exports=500, command_kills=6,
)  # fmt: skip
BEFORE_RELEASE = Sizes(
    kills=10_000, save_kills=2_000, cut_disks=100_000, damaged=20_000, saved_plans=50_000, two_windows_s=20.0,
    taps=10_000, lives=5_000, life_steps=100, clock_lives=5_000, exports=20_000, command_kills=60,
)  # fmt: skip
SIZES = BEFORE_RELEASE if SOAK else CI
