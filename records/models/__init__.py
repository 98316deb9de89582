"""The store, one file a subject; services are the only writers."""

from records.models.actions import Action, FollowUp, FollowUpSettlement, Remedy
from records.models.base import AppendOnly, PlantOwned
from records.models.instrument_checks import (
    CheckStandard,
    Disposition,
    InstrumentCheck,
    LookBack,
    Outcome,
)
from records.models.instruments import (
    Behavior,
    Happening,
    Instrument,
    InstrumentCard,
    InstrumentEvent,
    InstrumentKind,
    Lot,
    LotCard,
    LotKind,
)
from records.models.once import WriteKey
from records.models.people import AuditEvent, Membership, Pin, PinLock, Role, Terminal, User
from records.models.plant import (
    Boiler,
    BoilerKind,
    BoilerState,
    Organization,
    Plant,
    SampleKind,
    SamplePoint,
    Shift,
    State,
)
from records.models.program import (
    DrawEvent,
    DueSlot,
    EventDraw,
    Limit,
    Program,
    ProgramVersion,
    ScheduleLine,
)
from records.models.samples import (
    CheckOutcome,
    Doubt,
    Draft,
    InstrumentUse,
    Measurement,
    Reading,
    Result,
    Sample,
    SlotAnswer,
    Verdict,
)
from records.models.sheets import (
    Amendment,
    HandoverNote,
    LedgerEntry,
    LedgerHead,
    LogSheet,
    Meaning,
    Signature,
)
from records.models.tokens import ApiToken, SentSample

__all__ = [
    "Action", "Amendment", "ApiToken", "AppendOnly", "AuditEvent", "Behavior", "Boiler",
    "BoilerKind", "BoilerState", "CheckOutcome", "CheckStandard", "Disposition", "Doubt", "Draft",
    "DrawEvent", "DueSlot", "EventDraw", "FollowUp", "FollowUpSettlement", "HandoverNote",
    "Happening", "Instrument", "InstrumentCard", "InstrumentCheck", "InstrumentEvent",
    "InstrumentKind", "InstrumentUse", "LedgerEntry", "LedgerHead", "Limit", "LogSheet", "LookBack",
    "Lot", "LotCard", "LotKind", "Meaning", "Measurement", "Membership", "Organization", "Outcome",
    "Pin", "PinLock", "Plant", "PlantOwned", "Program", "ProgramVersion", "Reading", "Remedy",
    "Result", "Role", "Sample", "SampleKind", "SamplePoint", "ScheduleLine", "SentSample", "Shift",
    "Signature", "SlotAnswer", "State", "Terminal", "User", "Verdict", "WriteKey",
]  # fmt: skip
