"""How much of each reliability test is run: a little at every change, a lot before a release."""

import os
from dataclasses import astuple, dataclass

LEVEL = float(os.environ.get("MUDDAY_SOAK") or 0)
"""0: the sizes of every change; 1: those of a release; 0.2: a fifth of those of a release, but no less than at 0."""

SOAK = LEVEL > 0


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
    lives=200, life_steps=50, clock_lives=150, exports=500, command_kills=4,
)  # fmt: skip
BEFORE_RELEASE = Sizes(
    kills=10_000, save_kills=2_000, cut_disks=100_000, damaged=20_000, saved_plans=50_000, two_windows_s=20.0,
    taps=10_000, lives=5_000, life_steps=100, clock_lives=5_000, exports=20_000, command_kills=40,
)  # fmt: skip
SIZES = Sizes(*(max(ci, type(ci)(full * LEVEL)) for ci, full in zip(astuple(CI), astuple(BEFORE_RELEASE), strict=True)))
