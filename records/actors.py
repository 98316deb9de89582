"""Who acts: an already authenticated person at one plant, and how that was proved."""

from dataclasses import dataclass, replace
from enum import StrEnum
from uuid import UUID

from records.errors import not_allowed, not_here
from records.models import ApiToken, Plant, PlantOwned, Role, Terminal, User
from records.permissions import BY_TOKEN, Deed, may


class Proof(StrEnum):
    """How freshly the person proved who they are."""

    SESSION = "session"
    PIN = "pin"
    PASSWORD = "password"
    TOKEN = "token"


@dataclass(frozen=True, kw_only=True)
class Actor:
    """The person behind a write or a read at one plant.

    Who acts through a token may do what both their role and the token allow, and never more than
    `permissions.BY_TOKEN`.
    """

    user: User
    plant: Plant
    roles: frozenset[Role]
    terminal: Terminal | None = None
    proof: Proof = Proof.SESSION
    token: ApiToken | None = None

    @property
    def user_id(self) -> UUID:
        return self.user.pk

    @property
    def signed_by(self) -> dict[str, object]:
        """The two columns by which a row names its person."""
        return {"by": self.user, "by_name": self.user.name}

    def may(self, deed: Deed) -> bool:
        return may(self.roles, deed) and (self.token is None or deed in self._token_allows)

    @property
    def _token_allows(self) -> frozenset[Deed]:
        sends = self.token is not None and self.token.may_send
        return BY_TOKEN if sends else BY_TOKEN - {Deed.TEST}

    def require(self, deed: Deed, *rows: PlantOwned | None) -> None:
        """Raise NotAllowed unless a role allows the deed, RecordError for another plant's row."""
        if not self.may(deed):
            raise not_allowed(deed.value)
        self.require_own(*rows)

    def require_own(self, *rows: PlantOwned | None) -> None:
        """Raise RecordError unless every row that is given belongs to the actor's plant."""
        if any(row is not None and row.plant_id != self.plant.pk for row in rows):
            raise not_here()

    def proved_by(self, proof: Proof) -> "Actor":
        """Return the actor after a PIN or password was checked for this one write."""
        return replace(self, proof=proof)
