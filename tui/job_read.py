"""A job file read to the end: the job with the label numbers its setter keeps, its steps, and all that is wrong."""

from pathlib import Path

from planning.job.job import Job
from planning.job.problem import Problem
from planning.job.step import Step

JobRead = tuple[Job | None, list[Problem], tuple[Step, ...]]


def read_whole(path: Path) -> tuple[JobRead, tuple[Problem, ...]]:
    """(job, problems, steps) of a file, the job None when there is none in it; and what the trade finds odd in it."""
    from planning.records.job_file import read_job
    from planning.records.own_labels import with_own_labels
    from planning.trade.expand import expand

    job, problems = read_job(path)
    if job is None:
        return (None, problems, ()), ()
    job, wrong = with_own_labels(job)
    expansion = expand(job, str(path))
    return (job, [*problems, *wrong, *expansion.problems], expansion.steps), expansion.notes
