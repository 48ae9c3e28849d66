"""Which floors a step stands on and crosses, in alternative ways."""

from itertools import product

from planning.job.place import ways_in
from planning.schedule.build.site import Site


def ways(site: Site, floors: tuple[str, ...], standing: bool = True) -> tuple[tuple[str, ...], ...]:
    """The alternative sets of floors used to work on these floors: the way in, and (standing) the floors themselves.

    No floors: work outside, one empty way. A floor nobody can reach gives ().
    """
    if not floors:
        return ((),)
    choices = [ways_in(site.open_from, floor) for floor in floors]
    own = set(floors)
    sets = {frozenset().union(*combo) - own for combo in product(*choices)}
    shortest = [one for one in sets if not any(other < one for other in sets)]
    return tuple(sorted(tuple(sorted(one | own if standing else one)) for one in shortest))
