"""How a floated bed is worked: batch by batch, each mixed and placed inside its own set. Minutes and bags.

Unlike a pour a float need not stay live as a whole: what must not be lost is each batch, and each lift while the one
under it waits. Parts of a bag are mixed by weight. Common practice, no source; the arithmetic is calculated.
"""

from planning.quantities.crew import CYCLE_MIN, Batch

PARTS_OF_A_BAG = (1.0, 0.5, 0.25)
"""What may be mixed at a time, the largest first."""


def batch_min(part: float, place_min: float, mix_min: float = CYCLE_MIN) -> float:
    """From powder to placed: mixing, which is no quicker for half a bag, and placing that part of a bag."""
    if not 0 < part <= 1 or place_min < 0:
        raise ValueError(f"a batch of {part} bags that takes {place_min} min a bag: give more than 0 and at most 1 bag")
    return mix_min + part * place_min


def largest_batch(set_min: float, place_min: float, mix_min: float = CYCLE_MIN) -> float | None:
    """The largest part of a bag that is placed before it sets; None when not even a quarter is.

    `place_min`: minutes in which this crew places one bag.
    """
    return next((part for part in PARTS_OF_A_BAG if batch_min(part, place_min, mix_min) <= set_min + 1e-9), None)


def float_order(bags: int, part: float, labour_min: float) -> tuple[Batch, ...]:
    """The batches of a float that takes so long in all, at an even pace: each is mixed when the last is placed."""
    count = round(bags / part)
    each = labour_min / count if count else 0.0
    return tuple(Batch(n + 1, 1, part, n * each, (n + 1) * each) for n in range(count))
