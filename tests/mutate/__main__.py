"""`python -m tests.mutate`: every number of the chemistry, changed one at a time; 1 if one went
unseen."""

import argparse
import importlib
import select
import sys
import time
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from tests.mutate import run
from tests.mutate.sites import Site, sites

HEAVY = ("numpy", "scipy.stats", "scipy.interpolate", "scipy.special", "pint", "chemicals")
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
    unchanged = run.start(None, run.test_files(), ()).answer()
    if unchanged.red:
        say("The tests are red before anything is changed:", unchanged.red)
        return 2
    began, wrong, green, listed = time.monotonic(), [], [], 0
    for site, red in _answers(found, asked.jobs, unchanged.seconds):
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
    todo: Sequence[Site], jobs: int, seconds: Mapping[str, float]
) -> Iterator[tuple[Site, str]]:
    """Yield each site with the test that went red for it, as the children end.

    The test files named like the changed one go first, with the one that last saw a change in it;
    then the others, the quick ones before the slow.
    """
    every = sorted(run.test_files(), key=lambda path: seconds.get(_name(path), 0.0))
    waiting, working = list(reversed(todo)), list[run.Child]()
    likely: dict[str, str] = {}
    while waiting or working:
        while waiting and len(working) < jobs:
            site = waiting.pop()
            if site.path.endswith(".toml"):  # these come last and need no other chemistry
                importlib.import_module("chemistry.methods")
            first = [path for path in every if _goes_first(path, site, likely.get(site.path))]
            working.append(run.start(site, first, [path for path in every if path not in first]))
        child = select.select(working, [], [])[0][0]
        working.remove(child)
        red = child.answer().red
        likely[child.site.path] = red.partition("::")[0] or likely.get(child.site.path, "")
        yield child.site, red


def _goes_first(path: Path, site: Site, likely: str | None) -> bool:
    word = Path(site.path).stem if site.path.endswith(".py") else "limit"
    return word in path.name or _name(path) == likely


def _name(path: Path) -> str:
    return str(path.relative_to(run.ROOT))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
