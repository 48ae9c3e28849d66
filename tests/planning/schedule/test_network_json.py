"""Networks, solutions and limits travel as JSON and come back the same."""

import json

import pytest

from planning.schedule.network import Before, Network, Overrun, Solution
from planning.schedule.network_json import WireError, from_dict, to_dict
from planning.schedule.solver import Limits
from tests.planning.schedule import network_brute
from tests.planning.schedule.network_maker import rooms_network


def there_and_back(thing):
    return from_dict(type(thing), json.loads(json.dumps(to_dict(thing))))


@pytest.mark.parametrize("seed", range(25))
def test_any_network_comes_back_the_same(seed):
    network = network_brute.tiny(seed)
    assert there_and_back(network) == network


def test_a_whole_job_with_an_accepted_plan_comes_back_the_same():
    network = rooms_network(1, 4, 3, airy=True)
    starts = {task.id: n for n, task in enumerate(network.tasks)}
    fields = {name: getattr(network, name) for name in Network.__slots__}
    told = Network(**{**fields, "before": Before(starts, {"a": ("ann", "ben"), "b": ()}, 99)})
    assert there_and_back(told) == told


def test_a_solution_comes_back_the_same():
    overrun = (Overrun("within", "b", "a", 3), Overrun("night", at=240))
    plan = Solution("good", {"a": 1}, {"a": 4}, {"a": 0}, {"a": 1}, 4, 2, {"late": 0}, True, overrun)
    assert there_and_back(plan) == plan
    assert there_and_back(Solution("none")) == Solution("none")


def test_limits_come_back_the_same():
    limits = Limits(effort=0.25, stages=("late", "finish"), elastic=True)
    assert there_and_back(limits) == limits


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"status": 3}, "Solution.status"),
        ({"status": "good", "starts": {"a": "early"}}, "Solution.starts"),
        ({"status": "good", "starts": {"a": True}}, "Solution.starts"),
        ({"status": "good", "overrun": [3]}, "Solution.overrun"),
        ({"stattus": "good"}, "unknown ['stattus'], missing ['status']"),
        ([], "Mapping"),
    ],
)
def test_what_does_not_belong_is_named(values, said):
    with pytest.raises(WireError, match=said.replace("[", r"\[").replace("]", r"\]")):
        from_dict(Solution, values)
