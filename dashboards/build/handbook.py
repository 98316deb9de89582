"""The handbook's Markdown as HTML. A picture suits its reader: desk or phone, light or dark."""

from xml.etree.ElementTree import Element, SubElement

import markdown
from django.templatetags.static import static
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor

# A picture is named as from the handbook's own folder, so that the Markdown shows it elsewhere too.
FOLDER = "pictures/"
# A picture of a printed page is the same for everybody.
PAPER = "-paper"
DESK_SIZE, PHONE_SIZE, PAPER_SIZE = (1280, 800), (390, 844), (840, 1188)
# Ending of the name, size, and when it is shown; the first that holds is taken. Paper is light.
VARIANTS = (
    ("-phone-dark", PHONE_SIZE, "screen and (max-width: 46rem) and (prefers-color-scheme: dark)"),
    ("-phone", PHONE_SIZE, "screen and (max-width: 46rem)"),
    ("-dark", DESK_SIZE, "screen and (prefers-color-scheme: dark)"),
)
_EXTENSIONS = ["tables", "sane_lists", "fenced_code"]


def as_html(text: str) -> str:
    """Return a chapter as HTML."""
    return markdown.markdown(text, extensions=[*_EXTENSIONS, _Pictures()], output_format="html")


class _Pictures(Extension):
    def extendMarkdown(self, md: markdown.Markdown) -> None:  # noqa: N802 (Markdown's own name)
        # After the inline marks (20) have become elements.
        md.treeprocessors.register(_Suiting(md), "pictures", 15)


class _Suiting(Treeprocessor):
    """Put a choice of pictures where the Markdown has one."""

    def run(self, root: Element) -> None:
        for parent in list(root.iter()):
            for place, child in enumerate(list(parent)):
                if child.tag == "img" and child.get("src", "").startswith(FOLDER):
                    parent[place] = _suiting(child)


def _suiting(image: Element) -> Element:
    name, _dot, ending = image.get("src", "").removeprefix(FOLDER).rpartition(".")
    paper = name.endswith(PAPER)
    picture = Element("picture")
    picture.tail = image.tail
    for variant, size, media in () if paper else VARIANTS:
        address = static(f"help/{name}{variant}.{ending}")
        SubElement(picture, "source", {"srcset": address, "media": media, **_sized(size)})
    shown = {"src": static(f"help/{name}.{ending}"), "alt": image.get("alt", "")}
    SubElement(picture, "img", {**shown, **_sized(PAPER_SIZE if paper else DESK_SIZE)})
    return picture


def _sized(size: tuple[int, int]) -> dict[str, str]:
    """Return the attributes that keep a picture's place until it is there."""
    return {"width": str(size[0]), "height": str(size[1])}
