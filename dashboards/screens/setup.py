"""What a plant consists of, for its administrator."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class SetUpGroup:
    """One kind of thing: what there is of it, as lines of text, and the form that adds one."""

    key: str
    title: str
    lines: tuple[tuple[str, str], ...]
    none_words: str
    add_title: str
    add_word: str
    form: FormView


@dataclass(frozen=True, kw_only=True)
class PlantSetUpScreen:
    """The set-up page of a plant; `next_steps` says what is still lacking before a first round."""

    plant_id: str
    plant_name: str
    groups: tuple[SetUpGroup, ...]
    next_steps: tuple[str, ...] = ()
