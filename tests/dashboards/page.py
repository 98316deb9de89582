"""A page as its reader finds it: fields with what stands in them, messages beside them."""

from html.parser import HTMLParser

from django.http import HttpResponse

_VOID = {"input", "meta", "link", "br", "img", "hr", "path", "rect", "option"}


class Page(HTMLParser):
    """`values` by field name, `errors` by field id, `words` as read, `attributes` of everything."""

    def __init__(self, response: HttpResponse) -> None:
        super().__init__()
        self.status = response.status_code
        self.values: dict[str, str] = {}
        self.errors: dict[str, str] = {}
        self.alerts = ""
        self.words = ""
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.inline: list[str] = []
        self._open: list[tuple[str, dict[str, str]]] = []
        self._select = self._textarea = ""
        self.html = response.content.decode()
        self.feed(self.html)
        self.words = " ".join(self.words.split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        own = {key: value or "" for key, value in attrs}
        self.elements.append((tag, own))
        if tag not in _VOID:
            self._open.append((tag, own))
        if tag == "input" and (own.get("type") not in ("radio", "checkbox") or "checked" in own):
            self.values[own.get("name", "")] = own.get("value", "")
        elif tag == "select":
            self._select = own.get("name", "")
        elif tag == "option" and "selected" in own:
            self.values[self._select] = own.get("value", "")
        elif tag == "textarea":
            self.values[own["name"]] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag in {each for each, _attrs in self._open}:
            while self._open.pop()[0] != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not self._open:
            return
        tag, attrs = self._open[-1]
        if tag in ("script", "style"):
            self.inline.append(data)
            return
        if tag == "textarea":
            self.values[attrs["name"]] += data
        self.words += data + " "
        for _tag, outer in self._open:
            if outer.get("id", "").endswith("-error"):
                key = outer["id"].removesuffix("-error")
                self.errors[key] = (self.errors.get(key, "") + data).strip()
            if outer.get("role") == "alert":
                self.alerts += data

    def named(self, tag: str) -> list[dict[str, str]]:
        """Return the attributes of all elements of a kind."""
        return [attrs for each, attrs in self.elements if each == tag]

    def told(self) -> dict[str, str]:
        """Return the messages that stand beside fields, by field id."""
        return {key: text for key, text in self.errors.items() if text}

    def forms(self) -> list[str]:
        """Return the addresses to which the page's forms are sent."""
        return [attrs["action"] for attrs in self.named("form")]
