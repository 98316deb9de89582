"""The store as a Django application."""

from django.apps import AppConfig
from django.core.checks import Tags, register
from django.db.models.signals import post_migrate


class RecordsConfig(AppConfig):
    name = "records"

    def ready(self) -> None:
        from records import checks, guards

        post_migrate.connect(guards.lay_after_migrate, sender=self)
        register(checks.append_only_is_guarded, Tags.database)
        register(checks.role_owns_no_table, Tags.database, deploy=True)
