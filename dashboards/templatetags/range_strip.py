"""The range strip: allowed span, target, uncertainty and value on one small scale.

`strip_geometry` is plain arithmetic from a `Strip` to places on a drawing of fixed size, so that it
is tested without a template; `strip_words` says the same thing to who does not see it.
"""

from dataclasses import dataclass
from typing import Any

from django import template
from django.utils.translation import gettext as _

from dashboards.screens.results import Strip, VerdictView

register = template.Library()

WIDTH = 224.0
EDGE = 14.0  # room at each end for an arrow and half a label
RUN = WIDTH - 2 * EDGE
SHOULDER = 0.35  # part of the span that is shown outside each limit
BEGIN = 0.4  # where the scale of a maximum begins, as a part of it, so that the spread can be seen


@dataclass(frozen=True)
class StripGeometry:
    """Places along the strip in drawing units; None where a thing is not drawn.

    `off` is "left" or "right" where the value lies beyond the scale, and `value` is then None.
    `open_low` and `open_high` say that the span has no limit on that side.
    """

    judged: bool
    span: tuple[float, float] | None = None
    open_low: bool = False
    open_high: bool = False
    low: float | None = None
    high: float | None = None
    target: float | None = None
    value: float | None = None
    spread: tuple[float, float] | None = None
    off: str = ""


def scale_of(strip: Strip) -> tuple[float, float]:
    """Return the values at the left and right end of the scale, always left < right.

    Depends on limits and target alone where there are any, so that two results compare by eye.
    """
    if strip.low is not None and strip.high is not None:
        shoulder = SHOULDER * (strip.high - strip.low) or SHOULDER * abs(strip.high) or 1.0
        return strip.low - shoulder, strip.high + shoulder
    if strip.high is not None:
        room = SHOULDER * (abs(strip.high) or 1.0)
        aim = strip.high if strip.target is None else strip.target
        start = min(BEGIN * strip.high, aim - room, strip.high - room)
        return (max(0.0, start) if strip.high > 0 else start), strip.high + room
    if strip.low is not None:
        start = min(0.0, 2 * strip.low)
        return start, max(0.0, strip.low) + (abs(strip.low) or 1.0)
    size = abs(strip.value) if strip.value else 1.0
    return (-2 * size, 0.0) if (strip.value or 0.0) < 0 else (0.0, 2 * size)


def strip_geometry(strip: Strip) -> StripGeometry:
    """Place everything on the strip; what lies outside the scale is cut at its end or left out."""
    left, right = scale_of(strip)

    def place(x: float) -> float:
        return round(EDGE + RUN * (x - left) / (right - left), 2)

    def cut(x: float) -> float:
        return place(min(max(x, left), right))

    judged = strip.low is not None or strip.high is not None
    span = None
    if judged:
        span = (
            EDGE if strip.low is None else place(strip.low),
            WIDTH - EDGE if strip.high is None else place(strip.high),
        )
    off = ""
    if strip.value is not None:
        off = "left" if strip.value < left else "right" if strip.value > right else ""
    spread = None
    if strip.value is not None and strip.expanded and not off:
        spread = (cut(strip.value - strip.expanded), cut(strip.value + strip.expanded))
    inside = strip.target is not None and left <= strip.target <= right
    return StripGeometry(
        judged=judged,
        span=span,
        open_low=judged and strip.low is None,
        open_high=judged and strip.high is None,
        low=None if strip.low is None else place(strip.low),
        high=None if strip.high is None else place(strip.high),
        target=place(strip.target) if inside and strip.target is not None else None,
        value=None if strip.value is None or off else place(strip.value),
        spread=spread,
        off=off,
    )


def verdict_words(verdict: VerdictView) -> list[str]:
    """Return the words of a verdict, its marks included, in the order in which they are read."""
    words = [verdict.word]
    if verdict.near_limit:
        words.append(_("near the limit"))
    if verdict.in_doubt:
        words.append(_("in doubt"))
    return words


def strip_words(strip: Strip) -> str:
    """Say the strip: "1240 ± 30 µS/cm, allowed up to 1300, target 1100, in range"."""
    words = [strip.value_text or _("no value yet")]
    limits = {"low": strip.low_text, "high": strip.high_text}
    if strip.low_text and strip.high_text:
        words.append(_("allowed %(low)s to %(high)s") % limits)
    elif strip.high_text:
        words.append(_("allowed up to %(high)s") % limits)
    elif strip.low_text:
        words.append(_("allowed from %(low)s") % limits)
    else:
        words.append(_("no limit"))
    if strip.target_text:
        words.append(_("target %(target)s") % {"target": strip.target_text})
    if strip.verdict is not None:
        head, *rest = verdict_words(strip.verdict)
        words += [head[:1].lower() + head[1:], *rest]
    return ", ".join(words)


@register.inclusion_tag("dashboards/parts/strip.html")
def range_strip(strip: Strip) -> dict[str, Any]:
    """Draw the strip as inline SVG, with its words for screen readers."""
    geometry = strip_geometry(strip)
    return {
        "strip": strip,
        "g": geometry,
        "words": strip_words(strip),
        "side": strip.verdict.side if strip.verdict else "not_judged",
        "width": WIDTH,
        "edge": EDGE,
        "end": WIDTH - EDGE,
    }
