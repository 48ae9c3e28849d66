"""How a step stands at the moment a plan is made, by what was noted."""

from planning.job.plan import StepWindow
from planning.job.step import Step
from planning.job.words import Instant, StepState
from planning.schedule.build.network_of import Built
from planning.schedule.build.pieces import Cut


def step_state(built: Built, step: Step, piece: Cut, foot_ready: Instant | None, window: StepWindow) -> StepState:
    """The state of a step or piece; not begun, it is ready when everything before it is done and its window open."""
    site, progress = built.site, built.site.progress
    if piece.id in progress.finished:
        return "curing" if foot_ready is not None and site.now < foot_ready else "done"
    if piece.id in progress.started:
        return "hands"
    if piece.id in progress.held or step.id in progress.held:
        return "hold"
    if window.state == "shut":
        return "missed"
    waiting = window.opens is not None and site.now < window.opens
    return "wait" if waiting or not _before_done(built, step, piece) else "ready"


def _before_done(built: Built, step: Step, piece: Cut) -> bool:
    """Is everything done that comes before this piece: the piece before it, or the last piece of each linked step?"""
    finished = built.site.progress.finished
    if piece.n > 1:
        return built.pieces[step.id][piece.n - 2].id in finished
    return all(
        built.pieces[link.step][-1].id in finished
        for link in step.after
        if link.step in built.pieces and link.on == "finish"
    )
