"""Addresses of the screens. Each has its line in the permission table of the tests."""

from django.urls import URLPattern, path

from dashboards.views import (
    account,
    bench,
    demo,
    help,
    people,
    plants,
    sample,
    setup,
    sheets,
    terminal,
)

_AT = "plants/<uuid:plant>/"

urlpatterns: list[URLPattern] = [
    path("", account.home, name="home"),
    path("login", account.sign_in, name="login"),
    path("logout", account.sign_out, name="logout"),
    path("setup", setup.setup, name="setup"),
    path("help", help.page, name="help"),
    path("help/<slug:slug>", help.page, name="help-page"),
    path("demo/terminal", demo.be_terminal, name="demo-terminal"),
    path("terminal", terminal.names, name="terminal"),
    path("terminal/unlock", terminal.unlock, name="terminal-unlock"),
    path("terminal/lock", terminal.lock, name="terminal-lock"),
    path("terminal/heartbeat", terminal.heartbeat, name="terminal-heartbeat"),
    path("plants", plants.plants, name="plants"),
    path(_AT, plants.desk, name="plant"),
    path(_AT + "round", bench.the_round, name="round"),
    path(_AT + "points/<uuid:point>/start", bench.start, name="sample-start"),
    path(_AT + "bench/<uuid:draft>", bench.bench, name="bench"),
    path(_AT + "bench/<uuid:draft>/work", bench.work, name="bench-work"),
    path(_AT + "bench/<uuid:draft>/add", bench.add, name="bench-add"),
    path(_AT + "bench/<uuid:draft>/finish", bench.finish, name="bench-finish"),
    path(_AT + "bench/<uuid:draft>/discard", bench.discard, name="bench-discard"),
    path(_AT + "boilers/<uuid:boiler>/state", bench.boiler_state, name="boiler-state"),
    path(_AT + "samples/<uuid:sample>", sample.sample, name="sample"),
    path(_AT + "samples/<uuid:sample>/remedy", sample.plan, name="remedy-plan"),
    path(_AT + "samples/<uuid:sample>/action", sample.act, name="action-record"),
    path(_AT + "results/<uuid:measurement>/correct", sample.correct, name="result-correct"),
    path(_AT + "sheets", sheets.sheets, name="sheets"),
    path(_AT + "sheets/<uuid:sheet>", sheets.sheet, name="sheet"),
    path(_AT + "sheets/<uuid:sheet>/hand-in", sheets.hand_in, name="sheet-hand-in"),
    path(_AT + "sheets/<uuid:sheet>/sign", sheets.sign, name="sheet-sign"),
    path(_AT + "sheets/<uuid:sheet>/return", sheets.send_back, name="sheet-return"),
    path(_AT + "amendments/<uuid:amendment>", sheets.decide, name="amendment-sign"),
    path(_AT + "programs/<uuid:program>", plants.program, name="program"),
    path(_AT + "programs/<uuid:program>/new", plants.version, name="program-version"),
    path(_AT + "people", people.people, name="people"),
    path(_AT + "terminals", people.terminals, name="terminals"),
    path(_AT + "terminals/enroll", people.enroll, name="terminal-enroll"),
    path(_AT + "set-up", setup.plant_setup, name="plant-setup"),
]
