"""Which of the stocked chemicals a plan may use, and what each brings into the water.

What pressure, program, steam users or the way into the boiler forbid is left out, with the reason.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from chemistry import planner_words as words
from chemistry.dosing import CHEMICALS, Chemical
from chemistry.dosing_plan import CONGRUENT, COORDINATED, FREE_CAUSTIC, SULFITE_MOST_PSIG
from chemistry.planner_case import DEAERATOR, DRUM, FEED_LINE, PlannerCase, Stock
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

AMINE_MOST_MG_KG: Mapping[str, float] = {
    "morpholine": 10.0,
    "cyclohexylamine": 10.0,
    "diethylaminoethanol": 15.0,
}
"""Most of an amine in steam that touches food, mg/kg: 21 CFR 173.310, from memory."""
AMINES_TOGETHER_MG_KG = 25.0
"""Most of all amines in such steam, mg/kg: 21 CFR 173.310, from memory."""
HYDRAZINE = "hydrazine"


@dataclass(frozen=True)
class Product:
    """A chemical with the moles of sodium it brings, its kind, and where it may enter."""

    chemical: Chemical
    sodium: float
    kind: str

    def brings(self, strength: float) -> dict[str, float]:
        """Return mg by formula that a mg of the product as stocked brings.

        >>> {key: round(mg, 3) for key, mg in PRODUCTS["tsp_anhydrous"].brings(1.0).items()}
        {'Na': 0.421, 'PO4': 0.579}
        """
        pure = self.chemical
        moles = {"Na": self.sodium, "PO4": pure.phosphate, "SO3": pure.sulfite}
        return {
            formula: strength * count * molar_mass(formula) / pure.formula_mass
            for formula, count in moles.items()
            if count
        }


_DISODIUM = molar_mass("Na2HPO4")
_MONOSODIUM = molar_mass("NaH2PO4")
_WATER = molar_mass("H2O")
_MORE = (
    Chemical(
        "dsp_crystals",
        gettext_noop("Disodium phosphate, crystals (Na2HPO4·7H2O)"),
        _DISODIUM + 7.0 * _WATER,
        phosphate=1.0,
    ),
    Chemical(
        "msp_anhydrous",
        gettext_noop("Monosodium phosphate, anhydrous (NaH2PO4)"),
        _MONOSODIUM,
        phosphate=1.0,
        alkalinity=-1.0,
    ),
    Chemical(
        "msp_crystals",
        gettext_noop("Monosodium phosphate, crystals (NaH2PO4·H2O)"),
        _MONOSODIUM + _WATER,
        phosphate=1.0,
        alkalinity=-1.0,
    ),
    Chemical(
        "sulfite_crystals",
        gettext_noop("Sodium sulfite, crystals (Na2SO3·7H2O)"),
        molar_mass("Na2SO3") + 7.0 * _WATER,
        sulfite=1.0,
    ),
)
TRISODIUM, ACID, CAUSTIC, SULFITE = "trisodium", "acid_phosphate", "caustic", "sulfite"
_OF = {each.key: each for each in (*CHEMICALS.values(), *_MORE)}
PRODUCTS: Mapping[str, Product] = {
    key: Product(_OF[key], sodium, kind)
    for kind, members in {
        TRISODIUM: {"tsp_crystals": 3.0, "tsp_anhydrous": 3.0},
        ACID: {"dsp_anhydrous": 2.0, "dsp_crystals": 2.0,
               "msp_anhydrous": 1.0, "msp_crystals": 1.0},
        CAUSTIC: {"caustic_soda": 1.0},
        SULFITE: {"sodium_sulfite": 2.0, "sulfite_crystals": 2.0},
    }.items()
    for key, sodium in members.items()
}  # fmt: skip
ENTRIES: Mapping[str, tuple[str, ...]] = {
    TRISODIUM: (DRUM,),
    ACID: (DRUM,),
    CAUSTIC: (DRUM, FEED_LINE),
    SULFITE: (DEAERATOR, FEED_LINE, DRUM),
}
"""Where each kind may enter, the best first: common practice, no source."""


@dataclass(frozen=True)
class Usable:
    """A stocked chemical that may be dosed, where it goes in, what a mg of it brings."""

    stock: Stock
    product: Product
    entry: str
    brings: Mapping[str, float]


def usable(case: PlannerCase) -> tuple[tuple[Usable, ...], tuple[tuple[str, str], ...]]:
    """Return the chemicals that may be dosed, and of the others key and reason."""
    found: list[Usable] = []
    left_out: list[tuple[str, str]] = []
    for stock in case.stocks:
        reason = next(_reasons(case, stock), "")
        if reason:
            left_out.append((stock.key, reason))
            continue
        product = PRODUCTS[stock.key]
        entry = _entry(case, stock) or ""
        strength = stock.strength_percent / 100.0
        found.append(Usable(stock, product, entry, product.brings(strength)))
    return tuple(found), tuple(left_out)


def amines_over(in_steam: Mapping[str, float]) -> tuple[str, ...]:
    """Return the amines of steam that touches food, mg/kg, that are above their most; "all" where
    together they are.

    >>> amines_over({"morpholine": 11.0, "cyclohexylamine": 2.0})
    ('morpholine',)
    """
    over = [key for key, mg in in_steam.items() if mg > AMINE_MOST_MG_KG.get(key, 0.0)]
    return tuple(over + ["all"] * (sum(in_steam.values()) > AMINES_TOGETHER_MG_KG))


def _reasons(case: PlannerCase, stock: Stock) -> Iterator[str]:
    """Yield why a chemical may not be used, the gravest first."""
    if case.food_steam and stock.key == HYDRAZINE:
        yield words.NO_HYDRAZINE
    if stock.key not in PRODUCTS:
        yield words.FOOD_AMINE if case.food_steam else words.NOT_DOSED_HERE
        return
    kind = PRODUCTS[stock.key].kind
    if kind == SULFITE:
        if case.working_psig > SULFITE_MOST_PSIG:
            yield words.TOO_HOT_FOR_SULFITE
    else:
        yield from _against_program(case, stock.key, kind)
    if _entry(case, stock) is None:
        yield words.AHEAD_OF_SPRAY if case.spray_from_feed else words.NO_WAY_IN


def _against_program(case: PlannerCase, key: str, kind: str) -> Iterator[str]:
    """Yield why the program may not bear a phosphate or caustic.

    Where free caustic is kept out, only a ratio held in its range makes a dose safe; a
    phosphate of fewer sodiums, or caustic, is taken only where the program names it.
    """
    if case.program not in (FREE_CAUSTIC, COORDINATED, CONGRUENT):
        yield words.PROGRAM_NOT_KNOWN
    plain = kind == TRISODIUM or (kind == CAUSTIC and case.program == FREE_CAUSTIC)
    if not plain and key not in case.allowed:
        yield words.NOT_NAMED_BY_PROGRAM
    ratio = case.aims.get("sodium_to_phosphate")
    held = ratio is not None and ratio.high is not None
    if (
        case.program != FREE_CAUSTIC
        and not held
        and (kind != TRISODIUM or case.program == CONGRUENT)
    ):
        yield words.NO_RATIO


def _entry(case: PlannerCase, stock: Stock) -> str | None:
    """Return where a chemical goes in; nothing solid ahead of where the spray water is taken."""
    may = ENTRIES[PRODUCTS[stock.key].kind]
    if case.spray_from_feed:
        may = tuple(each for each in may if each == DRUM)
    return next((each for each in may if each in stock.entries), None)
