"""Change one number of the chemistry at a time, and see that a test goes red for each.

`make mutate`, or `python -m tests.mutate --only chemistry/ph.py`. What counts as a number, and how
it is changed, stands in `sites.py`; the few that can make no difference in `equivalent.toml`.
"""
