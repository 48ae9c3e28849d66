"""What is wrong in a file and how to write it right: data, not an exception, so that all problems show at once."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One problem in one line of one file."""

    file: str
    line: int
    what: str
    how: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.what}; {self.how}"


class UnreadableError(ValueError):
    """A piece of people's writing that cannot be read: `what` is wrong and `how` to write it right, for a Problem."""

    def __init__(self, what: str, how: str) -> None:
        super().__init__(f"{what}; {how}")
        self.what = what
        self.how = how
