"""What is tested at each point by the schedules in force: what paper forms are made from."""

from collections.abc import Sequence
from dataclasses import dataclass

from records import clock
from records.models import Limit, Plant, ProgramVersion, SamplePoint, ScheduleLine, State
from records.selectors.programs import programs_at
from records.selectors.rounds import StateHistory, VersionsInForce, points_of


@dataclass(frozen=True, kw_only=True)
class PointTests:
    """The tests scheduled at a point for a boiler's present state, with the limits that hold."""

    point: SamplePoint
    state: str
    version: ProgramVersion
    methods: tuple[str, ...]
    limits: tuple[Limit, ...]


def scheduled_tests(plant: Plant) -> Sequence[PointTests]:
    """Return the points where anything is scheduled now, in bench order.

    Water that all boilers share is tested as while steaming, and so is a boiler whose state nobody
    recorded.
    """
    now = clock.now()
    states, versions = StateHistory(plant), VersionsInForce(plant)
    in_force = {
        program.boiler_id: version
        for program in programs_at(plant)
        if (version := versions.at(program.pk, now)) is not None
    }
    lines = ScheduleLine.objects.filter(plant=plant, version__in=in_force.values())
    limits = Limit.objects.filter(plant=plant, version__in=in_force.values())
    every_line, every_limit = list(lines.order_by("method")), list(limits.order_by("analyte"))
    found = []
    for point in points_of(plant):
        version = in_force.get(point.boiler_id)
        state = states.at(point.boiler, now) or State.STEAMING.value
        here = [row for row in every_line if (row.sample_point_id, row.state) == (point.pk, state)]
        if version is None or not here:
            continue
        found.append(
            PointTests(
                point=point,
                state=state if point.boiler else "",
                version=version,
                methods=tuple(dict.fromkeys(row.method for row in here)),
                limits=tuple(
                    row
                    for row in every_limit
                    if (row.sample_point_id, row.state) == (point.pk, state)
                ),
            )
        )
    return found
