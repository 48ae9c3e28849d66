"""A network as a solver's model."""

from planning.schedule.network import Network
from planning.schedule.solver.crews import add_gear, add_people
from planning.schedule.solver.floors import add_floors, add_wet, barred_floors
from planning.schedule.solver.lags import add_lags
from planning.schedule.solver.model import Model
from planning.schedule.solver.nights import add_nights
from planning.schedule.solver.reach import all_lags, reach_of, tighten
from planning.schedule.solver.tasks import add_task


def build(network: Network, elastic: bool = False) -> Model:
    """The model of the network, all rules in.

    `elastic`: windows, visits and nights may be broken at a price.
    Raises NoPlan when some task cannot lie anywhere; ValueError for a lag or crew that makes no sense.
    """
    check(network)
    lags = all_lags(network)
    reaches = {task.id: reach_of(network, task, elastic) for task in network.tasks}
    tighten(reaches, lags, network.horizon)
    model = Model(network, elastic)
    barred = barred_floors(model)
    for reach in reaches.values():
        add_task(model, reach, barred)
    add_lags(model, lags)
    add_people(model)
    add_gear(model)
    floors = add_floors(model)
    add_wet(model)
    add_nights(model, floors)
    return model


def check(network: Network) -> None:
    """Names must mean something. Raises ValueError, saying which does not."""
    ids = [task.id for task in network.tasks]
    known = set(ids)
    if len(known) != len(ids):
        twice = sorted({name for name in ids if ids.count(name) > 1})
        raise ValueError(f"task ids must differ; given twice: {', '.join(twice)}")
    for task in network.tasks:
        if not task.crews:
            raise ValueError(f"task {task.id} has no crew; give it at least one, without people if it is a visit")
        if not task.ways:
            raise ValueError(f"task {task.id} has no way in; give it ((),) if it is outside")
    for lag in network.lags:
        for name in (lag.before, lag.after):
            if name not in known:
                raise ValueError(f"a lag names task {name}, which is not in the network")
