"""Which measurements are in doubt now: one question to the database, whatever raised the doubt.

The same as `records.selectors.doubts` says of measurements at hand; a test holds the two together.
"""

from collections.abc import Collection, Sequence
from typing import Any
from uuid import UUID

from django.db import connection

from records.models.base import Keyed

_AT_A_TIME = 500

# Decided, and not as void: what ends a doubt. A decision about one result comes before that about
# all; a decision about all reaches what was entered by then.
_VOID = (
    "EXISTS (SELECT 1 FROM records_disposition p WHERE p.measurement_id = {m} "
    "AND p.outcome = 'void')"
)
_OF_ENTRY = (
    "SELECT d.measurement_id FROM records_doubt d WHERE d.plant_id = %s {among} AND ("
    + _VOID.format(m="d.measurement_id")
    + " OR NOT EXISTS (SELECT 1 FROM records_disposition p WHERE "
    "p.measurement_id = d.measurement_id AND p.look_back_id IS NULL AND p.at >= d.at))"
)
_OF_CHECKS = (
    "SELECT u.measurement_id FROM records_lookback l "
    "JOIN records_instrumentuse u ON u.instrument_id = l.instrument_id "
    "JOIN records_measurement m ON m.id = u.measurement_id "
    "JOIN records_sample s ON s.id = m.sample_id "
    "WHERE l.plant_id = %s {among} "
    "AND s.drawn_at <= l.until AND (l.since IS NULL OR s.drawn_at > l.since) AND ("
    + _VOID.format(m="u.measurement_id")
    + " OR NOT EXISTS (SELECT 1 FROM records_disposition p WHERE p.look_back_id = l.id "
    "AND p.outcome <> 'void' AND (p.measurement_id = u.measurement_id "
    "OR (p.measurement_id IS NULL AND p.at >= m.entered_at))))"
)


def doubted_among(plant: UUID, measurements: Collection[UUID]) -> set[UUID]:
    """Return those of some measurements of a plant that are in doubt now."""
    keys, found = list(measurements), set[UUID]()
    for start in range(0, len(keys), _AT_A_TIME):
        found |= _ask(plant, keys[start : start + _AT_A_TIME])
    return found


def doubted_at(plant: UUID) -> set[UUID]:
    """Return all measurements of a plant that are in doubt now."""
    return _ask(plant, None)


def _ask(plant: UUID, keys: Sequence[UUID] | None) -> set[UUID]:
    field = Keyed._meta.get_field("id")
    own, asked = field.get_db_prep_value(plant, connection), []
    values: list[Any] = []
    for query, column in ((_OF_ENTRY, "d.measurement_id"), (_OF_CHECKS, "u.measurement_id")):
        marks = ", ".join(["%s"] * len(keys or ()))
        asked.append(query.format(among=f"AND {column} IN ({marks})" if keys is not None else ""))
        values += [own, *(field.get_db_prep_value(key, connection) for key in keys or ())]
    with connection.cursor() as cursor:
        cursor.execute(" UNION ".join(asked), values)
        return {key if isinstance(key, UUID) else UUID(key) for (key,) in cursor.fetchall()}


_WAITING = (
    "SELECT l.id, count(DISTINCT m.id) FROM records_lookback l "
    "JOIN records_instrumentuse u ON u.instrument_id = l.instrument_id "
    "JOIN records_measurement m ON m.id = u.measurement_id "
    "JOIN records_sample s ON s.id = m.sample_id "
    "WHERE l.plant_id = %s AND s.drawn_at <= l.until "
    "AND (l.since IS NULL OR s.drawn_at > l.since) "
    "AND NOT EXISTS (SELECT 1 FROM records_measurement c WHERE c.corrects_id = m.id) "
    "AND NOT EXISTS (SELECT 1 FROM records_disposition p WHERE p.look_back_id = l.id "
    "AND (p.measurement_id = m.id OR (p.measurement_id IS NULL AND p.at >= m.entered_at))) "
    "GROUP BY l.id"
)


def waiting_by_look_back(plant: UUID) -> dict[UUID, int]:
    """Return how many tests each look-back of a plant reached about which nothing is decided yet;
    those without any are left out."""
    own = Keyed._meta.get_field("id").get_db_prep_value(plant, connection)
    with connection.cursor() as cursor:
        cursor.execute(_WAITING, [own])
        found = cursor.fetchall()
    return {key if isinstance(key, UUID) else UUID(key): count for key, count in found}
