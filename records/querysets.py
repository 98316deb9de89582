"""Query sets that keep a rule whoever calls them."""

from collections.abc import Iterable
from typing import Any, NoReturn

from django.db import models

APPEND_ONLY = "These rows are append-only: write a new row that corrects the old one."


class AppendOnlyQuerySet(models.QuerySet[Any]):
    """Rows that are inserted once and never change (database triggers stand behind this)."""

    def update(self, **values: Any) -> NoReturn:  # bulk_update ends here too
        raise TypeError(APPEND_ONLY)

    def delete(self) -> NoReturn:
        raise TypeError(APPEND_ONLY)

    def bulk_create(self, objs: Iterable[Any], *args: Any, **options: Any) -> list[Any]:
        """Insert; an upsert would be an update by another name."""
        if options.get("update_conflicts") or options.get("ignore_conflicts"):
            raise TypeError(APPEND_ONLY)
        return super().bulk_create(objs, *args, **options)
