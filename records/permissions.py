"""Who may do what: one table of role and deed. A deed misspelt elsewhere fails at import."""

from enum import StrEnum

from records.models import Role


class Deed(StrEnum):
    """What a person may be allowed to do at a plant."""

    SEE = "see"
    TEST = "test"
    CORRECT = "correct"
    HAND_IN = "hand in"
    SIGN = "sign"
    AMEND = "amend"
    SET_PROGRAM = "set program"
    SET_STATE = "set state"
    MANAGE_PEOPLE = "manage people"
    MANAGE_TERMINALS = "manage terminals"
    MANAGE_TOKENS = "manage tokens"
    SET_UP = "set up"
    CHECK = "check instruments"
    KEEP_INSTRUMENTS = "keep the instruments"
    DISPOSE = "decide about results in doubt"


_T, _S, _C, _A = Role.TESTER, Role.SUPERVISOR, Role.CHEMIST, Role.ADMINISTRATOR

ALLOWED: dict[Deed, frozenset[Role]] = {
    Deed.SEE: frozenset({_T, _S, _C}),
    Deed.TEST: frozenset({_T, _S, _C}),
    Deed.CORRECT: frozenset({_T, _S, _C}),
    Deed.HAND_IN: frozenset({_T, _S, _C}),
    Deed.SIGN: frozenset({_S, _C}),
    Deed.AMEND: frozenset({_T, _S, _C}),
    Deed.SET_PROGRAM: frozenset({_C}),
    Deed.SET_STATE: frozenset({_T, _S, _C}),
    Deed.MANAGE_PEOPLE: frozenset({_S, _A}),
    Deed.MANAGE_TERMINALS: frozenset({_S, _A}),
    Deed.MANAGE_TOKENS: frozenset({_S, _A}),
    Deed.SET_UP: frozenset({_A}),
    Deed.CHECK: frozenset({_T, _S, _C}),
    Deed.KEEP_INSTRUMENTS: frozenset({_S, _C}),
    Deed.DISPOSE: frozenset({_C}),
}

# All that another program may do for a person: it never signs, corrects or sets anything up.
BY_TOKEN = frozenset({Deed.SEE, Deed.TEST})

# Which roles a role may give and end: a supervisor enrolls testers, and can't make up a second
# person to sign by.
MAY_GIVE: dict[Role, frozenset[Role]] = {
    _T: frozenset(),
    _S: frozenset({_T}),
    _C: frozenset(),
    _A: frozenset(Role),
}


def may_give(roles: frozenset[Role], wanted: Role) -> bool:
    """Say whether one of the roles allows to give another person a role, or to end it."""
    return any(wanted in MAY_GIVE[role] for role in roles)


def may(roles: frozenset[Role], deed: Deed) -> bool:
    """Say whether one of the roles allows the deed."""
    return bool(roles & ALLOWED[deed])
