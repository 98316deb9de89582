"""Every row says who owns it and stays within its plant; no number is stored inexactly."""

import pytest
from django.apps import apps
from django.db import models
from django_scopes import scope
from django_scopes.exceptions import ScopeError

from records import canonical
from records.models import AppendOnly, Draft, PlantOwned, Sample
from tests.records import story

MODELS = list(apps.get_app_config("records").get_models())
OWNED = [model for model in MODELS if issubclass(model, PlantOwned)]
each_owned = pytest.mark.parametrize("model", OWNED, ids=lambda m: m._meta.model_name)


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m._meta.model_name)
def test_it_says_who_owns_it(model):
    assert model.owner in ("plant", "organization", "installation")
    assert issubclass(model, PlantOwned) == (model.owner == "plant")
    assert isinstance(model._meta.pk, models.UUIDField)


@each_owned
def test_its_unique_keys_begin_with_the_plant(model):
    assert not [f.name for f in model._meta.concrete_fields if f.unique and not f.primary_key]
    for constraint in model._meta.constraints:
        if isinstance(constraint, models.UniqueConstraint):
            assert constraint.fields[0] == "plant", constraint.name
    assert not model._meta.unique_together


@pytest.mark.parametrize("model", canonical.TABLES.values(), ids=canonical.TABLES)
def test_nothing_signed_is_kept_as_an_inexact_number(model):
    inexact = (models.DecimalField, models.FloatField, models.JSONField)
    assert not [f.name for f in model._meta.concrete_fields if isinstance(f, inexact)]
    assert issubclass(model, AppendOnly)


@each_owned
def test_a_query_outside_a_scope_raises(db, model):
    for ask in (
        lambda: list(model.objects.all()),
        model.objects.count,
        model.objects.exists,
        model.objects.first,
        lambda: model.objects.filter(pk=None).exists(),
        lambda: list(model.objects.exclude(pk=None)),
        lambda: list(model.objects.values_list("pk")),
    ):
        with pytest.raises(ScopeError):
            ask()


def test_a_scope_shows_its_own_plant_alone(works, elsewhere):
    sample = story.draw(works, "1240")
    assert list(Sample.objects.all()) == [sample]
    with scope(plant=elsewhere.plant):
        assert not Sample.objects.exists()
    with scope(plant=[works.plant, elsewhere.plant]):
        assert list(Sample.objects.all()) == [sample]


def test_a_draft_is_the_one_thing_that_changes_as_it_is_typed():
    assert not issubclass(Draft, AppendOnly)
