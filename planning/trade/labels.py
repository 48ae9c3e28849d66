"""The setter's own label numbers: read from his words, laid over ours, and asked for where they are still ours.

A label outweighs our numbers always. Of his own, what he noted in this job outweighs its job file, and that the numbers
he keeps for all his jobs.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from planning.job.events import Event, effective
from planning.job.job import Job, OwnMaterial
from planning.job.problem import UnreadableError
from planning.job.step import Band, Step, Wait
from planning.job.words import WINDOW_NAMES, Minutes
from planning.quantities import units
from planning.quantities.plain_words import listed, nearest, reads
from planning.quantities.show import show_minutes
from planning.trade.materials import material_classes

OURS = "ours"
"""Said of a class whose label agrees with our numbers: it is not asked for again."""

MIX_WATER, WATER_USE = "water", "water_use"
"""As a file of labels has them: the water a bag is mixed with, and when the shower may be used."""

SPELLED: Mapping[str, str] = MappingProxyType(
    {
        **{name.replace("_", " "): name for name in WINDOW_NAMES},
        "water": WATER_USE,
        "water use": WATER_USE,
        "shower": WATER_USE,
        "mix water": MIX_WATER,
        "foot": "walk",
        "foot traffic": "walk",
        "walk on": "walk",
        "pot life": "pot",
        "working": "work",
        "working time": "work",
        "healing": "heal",
        "healing time": "heal",
        "recoat": "next_layer",
        "next coat": "next_layer",
        "flood test": "flood",
        "heavy load": "heavy",
        "sealer": "seal",
        "bag": "bag",
        "package": "bag",
        "yield": "yield",
        "gives": "yield",
    }
)
"""What people call a number of a label -> its key in a file of labels."""

HOW = "write what the label says and its number, such as 'walk 18 h', 'next layer 2 h to 24 h' or 'water 5.5 qt'"
WINDOW_SAYS: Mapping[str, str] = MappingProxyType(
    {
        "pot": "pot life",
        "work": "working time",
        "heal": "healing time",
        "walk": "walk on",
        "next_layer": "next layer",
        "tile": "tile over it",
        "grout": "grout",
        "caulk": "caulk",
        "flood": "flood test",
        "water": "water use",
        "heavy": "heavy load",
        "seal": "seal",
    }
)


@dataclass(frozen=True, slots=True)
class MissingLabel:
    """A window of a class that a job counts on and that is still our default: it opens after `least`, shuts after
    `most` (label minutes at 23 C and 50 % RH; None: no such end)."""

    material: str
    title: str
    window: str
    least: Minutes | None
    most: Minutes | None

    @property
    def says(self) -> str:
        """`walk on after 16 h`, `next layer 2 h to 24 h`, `pot life 20 min`."""
        name = WINDOW_SAYS[self.window]
        if self.least is None:
            return f"{name} {show_minutes(self.most or 0)}"
        if self.most is None:
            return f"{name} after {show_minutes(self.least)}"
        return f"{name} {show_minutes(self.least)} to {show_minutes(self.most)}"


def read_label(material: str, text: str) -> OwnMaterial:
    """What a label says, from words such as `walk 18 h, next layer 2 h to 24 h`; `ours` says nothing new.

    Commas divide several numbers. `water` with a measure of water is the mix water of a bag, with a time the window.
    Raises UnreadableError.
    """
    own = OwnMaterial(material)
    for key, value in label_words(text).items():
        own = laid_over(own, _own_number(material, key, value))
    return own


def laid_over(under: OwnMaterial, over: OwnMaterial) -> OwnMaterial:
    """Two sets of numbers of one class: where both have a number, that of `over` counts."""
    return replace(
        over,
        bag_kg=under.bag_kg if over.bag_kg is None else over.bag_kg,
        water_l=under.water_l if over.water_l is None else over.water_l,
        yield_m3=under.yield_m3 if over.yield_m3 is None else over.yield_m3,
        windows={**under.windows, **over.windows},
    )


def with_kept_labels(job: Job, kept: Mapping[str, OwnMaterial]) -> Job:
    """The job with the numbers the setter keeps for all his jobs, its own file's numbers over them."""
    if not kept:
        return job
    mine = {key: laid_over(own, job.materials[key]) if key in job.materials else own for key, own in kept.items()}
    return replace(job, materials=MappingProxyType({**job.materials, **mine}))


def with_noted_labels(job: Job, events: Iterable[Event]) -> Job:
    """The job with the numbers noted in it laid over all others; the same job when none was noted.

    A note that cannot be read counts for nothing: whoever writes it has it read first.
    """
    found: dict[str, OwnMaterial] = {}
    for event in effective(events):
        if event.kind != "label":
            continue
        material = str(event.body.get("class", ""))
        try:
            own = read_label(material, str(event.body.get("value", "")))
        except UnreadableError:
            continue
        before = found.get(material) or job.materials.get(material)
        found[material] = own if before is None else laid_over(before, own)
    if all(job.materials.get(key) == own for key, own in found.items()):
        return job
    return replace(job, materials=MappingProxyType({**job.materials, **found}))


def missing_labels(job: Job, steps: Sequence[Step]) -> tuple[MissingLabel, ...]:
    """The windows that these steps count on and that are our defaults, classes and windows in the order of the work.

    A class of whose label the setter said anything, were it `ours`, is not asked for again.
    """
    known = material_classes(job)
    found: dict[tuple[str, str], MissingLabel] = {}
    for wait, shuts in _waits(steps):
        key = wait.material
        if key is None or key not in known or key in job.materials or wait.window not in WINDOW_NAMES:
            continue
        if wait.law == "fixed":
            continue  # such a time is our habit and stands on no label
        have = found.get((key, wait.window)) or MissingLabel(key, known[key].title, wait.window, None, None)
        minutes = wait.label.typical
        found[key, wait.window] = replace(have, most=minutes) if shuts else replace(have, least=minutes)
    order = {each.material: n for n, each in reversed(list(enumerate(found.values())))}
    return tuple(sorted(found.values(), key=lambda each: (order[each.material], WINDOW_NAMES.index(each.window))))


def _waits(steps: Sequence[Step]) -> Iterable[tuple[Wait, bool]]:
    """Every wait of these steps, and whether it is the time at which a window shuts."""
    for step in steps:
        for link in step.after:
            yield from ((wait, shuts) for wait, shuts in ((link.wait, False), (link.within, True)) if wait is not None)
        yield from ((keep.until, False) for keep in step.keeps_off if isinstance(keep.until, Wait))
        for act in step.acts:
            yield from ((wait, shuts) for wait, shuts in ((act.opens, False), (act.shuts, True)) if wait is not None)


def label_words(text: str) -> Mapping[str, str]:
    """The numbers in a note on a label, as a file of labels has them: {"walk": "18 h", "water": "5.5 qt"}.

    Commas divide several numbers; `ours` has none. Each is read, so that what is kept can be read again. Raises
    UnreadableError.
    """
    if " ".join(text.lower().split()) == OURS:
        return {}
    return dict(_one_number(each) for each in re.split(r"\s*[,;]\s*", text.strip()))


def _one_number(text: str) -> tuple[str, str]:
    matched = re.fullmatch(r"([A-Za-z][A-Za-z _-]*?)\s*[:=]?\s+([\d.].*)", text)
    if matched is None:
        raise UnreadableError(f"{text!r} is no number of a label", HOW)
    said, value = " ".join(matched[1].lower().replace("-", " ").split()), matched[2]
    key = SPELLED.get(said)
    if key is None:
        close = nearest(said, SPELLED)
        how = f"write {close}" if close else f"write one of {listed(WINDOW_SAYS.values())}"
        raise UnreadableError(f"no label has {said!r}", how)
    if key == WATER_USE and said == "water" and reads(units.liters, value):
        key = MIX_WATER
    _own_number("", key, value)
    return key, value


def _own_number(material: str, key: str, value: str) -> OwnMaterial:
    if key == "bag":
        return OwnMaterial(material, bag_kg=units.mass_kg(value))
    if key == "yield":
        return OwnMaterial(material, yield_m3=units.volume_m3(value))
    if key == MIX_WATER:
        return OwnMaterial(material, water_l=units.liters(value))
    window: tuple[Band, Band | None] = units.window(value)
    return OwnMaterial(material, windows={"water" if key == WATER_USE else key: window})
