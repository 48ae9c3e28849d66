"""What the command line says when it cannot go on: one clear line and an exit code."""

DONE, NO_PLAN, BAD_INPUT = 0, 1, 2


class WrongUse(Exception):  # it names what went wrong on the line typed, not a fault of the program
    """Bad input: what is wrong and how to write it right."""

    code = BAD_INPUT
