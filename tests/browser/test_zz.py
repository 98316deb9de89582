import os
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]="true"
from tests.browser.conftest import *
from tests.browser import screens, steps
def test_shots(works, open_browser):
    told = screens.tell(works)
    for size, tag, scheme in ((PHONE,"phone","light"),(DESK,"desk","dark")):
        for who, addresses in screens.by_person(works, told).items():
            token = works.token if who in ("terminal", "locked") else ""
            page = open_browser(works.url, token, viewport=size, reduced_motion="reduce", color_scheme=scheme)
            screens.arrive(page, who)
            for name, address in addresses.items():
                if name.startswith("help") or name in ("nothing","not yours"): continue
                page.goto(address)
                page.screenshot(path=f"/tmp/shots/{tag}-{who}-{name.replace(' ','_')}.png", full_page=True)
