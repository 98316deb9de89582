"""Paper forms for a power cut: blank bench sheets to write on."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class PaperField:
    """One thing to write down: a line with its units, or choices to tick.

    The first of `units` is the one that the bench sheet preselects; a field of words has neither.
    """

    label: str
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    required: bool = True


@dataclass(frozen=True, kw_only=True)
class PaperTest:
    """One test: the ways of working it, of which the usual one's fields follow."""

    name: str
    other_ways: tuple[str, ...]
    usual_way: str
    fields: tuple[PaperField, ...]
    means: tuple[str, ...]
    cautions: tuple[str, ...]
    limits: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PaperForm:
    """The blank bench sheet of one sample point, on a page of its own."""

    point_id: str
    title: str
    state_word: str
    version_text: str
    draw_text: str
    tests: tuple[PaperTest, ...]


@dataclass(frozen=True, kw_only=True)
class PaperScreen:
    """All paper forms of a plant, or the one that was picked."""

    plant_id: str
    plant_name: str
    organization_name: str
    forms: tuple[PaperForm, ...]
    one_picked: bool
    cautions: tuple[str, ...]
    whom_to_call: str = ""
    printed_text: str = ""
