"""`python -m tests.mutate`: every number of the chemistry, changed one at a time; 1 if one went
unseen."""

import argparse
import importlib
import select
import sys
import time
import tomllib
from collections.abc import Iterator, Sequence
from itertools import accumulate
from pathlib import Path

from tests.mutate import run
from tests.mutate.sites import Site, sites
from tests.mutate.watch import Ran, who_can_see

HEAVY = ("numpy", "scipy.stats", "scipy.interpolate", "scipy.special", "pint", "chemicals")
LISTED_SECONDS = 15.0
EQUIVALENT = Path(__file__).with_name("equivalent.toml")

Reason = dict[tuple[str, str], str]


def main(arguments: Sequence[str]) -> int:
    asked = _asked(arguments)
    for name in HEAVY:
        importlib.import_module(name)
    found, known = sites(asked.only), _equivalent(asked.only)
    stale = sorted(set(known) - {_place(site) for site in found})
    for place in stale:
        say("no such number:", *place)
    ran = run.watched()
    if ran.red:
        say("The tests are red before anything is changed:", ran.red)
        return 2
    began, wrong, green, listed = time.monotonic(), [], [], 0
    for site, red in _answers(found, known, ran, asked.jobs):
        reason = known.get(_place(site), "")
        if asked.each:
            say("green" if not red else "red  ", site, "   ", red or reason)
        listed += bool(reason)
        if reason and red:
            wrong.append(f"said to make no difference, but {red} goes red: {site}")
        elif not reason and not red:
            green.append(str(site))
    say(*(f"\n  no difference: {site}\n    {why}" for site, why in _shown(found, known)))
    say(*(f"\n  {each}" for each in (*wrong, *sorted(green))))
    seen = len(found) - listed - len(green)
    say(
        f"{len(found)} numbers changed: {seen} seen by a red test, {len(green)} not seen, "
        f"{listed} can make no difference; {(time.monotonic() - began) / 60:.1f} minutes"
    )
    return 1 if wrong or green or stale else 0


def say(*words: object) -> None:
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


def _asked(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutate", description=__doc__)
    parser.add_argument("--only", default="", help="a file, or what its path begins with")
    parser.add_argument("--jobs", type=int, default=2, help="children at work at once")
    parser.add_argument("--each", action="store_true", help="tell of each number who saw it")
    return parser.parse_args(arguments)


def _place(site: Site) -> tuple[str, str]:
    return site.path, site.said


def _equivalent(only: str) -> Reason:
    """Return why a change makes no difference, by file and by line with the number marked."""
    listed = tomllib.loads(EQUIVALENT.read_text(encoding="utf-8"))["number"]
    return {
        (each["path"], each["line"]): each["reason"]
        for each in listed
        if each["path"].startswith(only)
    }


def _shown(found: Sequence[Site], known: Reason) -> Iterator[tuple[Site, str]]:
    return ((site, known[_place(site)]) for site in found if _place(site) in known)


def _answers(
    todo: Sequence[Site], known: Reason, ran: Ran, jobs: int
) -> Iterator[tuple[Site, str]]:
    """Yield each site with the test that went red for it, as the children end."""
    waiting, working = list(reversed(todo)), list[run.Child]()
    likely: dict[str, str] = {}
    while waiting or working:
        while waiting and len(working) < jobs:
            site = waiting.pop()
            if site.path.endswith(".toml"):  # these come last and need no other chemistry
                importlib.import_module("chemistry.methods")
            parts = _parts(site, ran, likely.get(site.path, ""), _place(site) in known)
            working.append(run.start(site, parts, ran))
        child = select.select(working, [], [])[0][0]
        working.remove(child)
        red = child.answer()
        likely[child.site.path] = red or likely.get(child.site.path, "")
        yield child.site, red


def _parts(site: Site, ran: Ran, likely: str, listed: bool) -> list[list[str]]:
    """Return the tests for a site, the quick ones first: of those that can see it the ones in files
    of its name, the others, and then all the rest. Of a listed number, which is thought to make no
    difference, as many are asked as go into LISTED_SECONDS."""
    seeing = who_can_see(site, ran)
    word = Path(site.path).stem if site.path.endswith(".py") else "limit"
    named = {test for test in seeing or ran.seconds if word in test.partition("::")[0]} | (
        {likely} & ran.seconds.keys()
    )
    rest = ran.seconds.keys() - seeing - named
    order = sorted(ran.seconds, key=lambda test: (test != likely, ran.seconds[test]))
    parts = [[test for test in order if test in part] for part in (named, seeing - named, rest)]
    return [_quick(parts[0] + parts[1], ran)] if listed else parts


def _quick(tests: list[str], ran: Ran) -> list[str]:
    upto = accumulate(ran.seconds[test] for test in tests)
    return [test for test, seconds in zip(tests, upto, strict=True) if seconds < LISTED_SECONDS]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
