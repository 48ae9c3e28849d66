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
    job_files: int
    word_lists: int
    spoiled_files: int
    odd_events: int
    real_commands: int
    plan_lives: int
    plan_life_acts: int


CI = Sizes(
    kills=150, save_kills=100, cut_disks=2_800, damaged=600, saved_plans=1_000, two_windows_s=4.0, taps=500,
    lives=40, life_steps=50, clock_lives=100, exports=300, command_kills=3, job_files=1_000, word_lists=100,
    spoiled_files=60, odd_events=36, real_commands=2, plan_lives=2, plan_life_acts=12,
)  # fmt: skip
BEFORE_RELEASE = Sizes(
    kills=10_000, save_kills=2_000, cut_disks=100_000, damaged=20_000, saved_plans=50_000, two_windows_s=20.0,
    taps=10_000, lives=5_000, life_steps=100, clock_lives=5_000, exports=20_000, command_kills=40, job_files=200_000,
    word_lists=5_000, spoiled_files=5_000, odd_events=3_000, real_commands=50, plan_lives=100, plan_life_acts=40,
)  # fmt: skip
SIZES = Sizes(*(max(ci, type(ci)(full * LEVEL)) for ci, full in zip(astuple(CI), astuple(BEFORE_RELEASE), strict=True)))
