"""Reads marks, lines and words back out of an SVG picture."""

import re
from xml.etree import ElementTree

from review.charts import Drawing

SVG = "{http://www.w3.org/2000/svg}"


class ReadBack:
    def __init__(self, drawing: Drawing) -> None:
        self.root = ElementTree.fromstring(drawing.to_svg())
        self.words = ["".join(text.itertext()) for text in self.root.iter(f"{SVG}text")]
        self.groups = {g.get("id"): g for g in self.root.iter(f"{SVG}g") if g.get("id")}

    def places(self, gid: str) -> list[tuple[float, float]]:
        """Where the marks of a group stand: x right, y down."""
        return [(float(use.get("x")), float(use.get("y"))) for use in self.groups[gid].iter(f"{SVG}use")]

    def line(self, gid: str) -> list[tuple[float, float]]:
        d = next(self.groups[gid].iter(f"{SVG}path")).get("d")
        return [(float(x), float(y)) for x, y in re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", d)]

    def style(self, gid: str) -> str:
        return next(self.groups[gid].iter(f"{SVG}use")).get("style")

    def all_words(self) -> str:
        return " ".join(self.words)
