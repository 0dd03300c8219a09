"""Plain trade terms: what a column is called in words, and the measure it means."""

import re
from functools import lru_cache

from review.lesson import KINDS, Source

ROLES = ("time", "date", "club", "shot number", "ignore")
"""What a column can be besides a measure; a shot number is kept as text."""

MEASURES = tuple(name for name, kind in KINDS.items() if kind.source is Source.DEVICE)
"""The measures a device can give, by name."""

KNOWN = (*MEASURES, *ROLES)

_TERMS = {
    "club_speed_mph": "club speed, club head speed, clubhead speed, head speed, swing speed, speed of club",
    "ball_speed_mph": "ball speed, speed of ball",
    "club_path_deg": "club path, swing path, club path angle, path angle",
    "face_angle_deg": "face angle, club face angle, clubface angle, club face, clubface, face to target",
    "face_to_path_deg": "face to path, face to path angle",
    "attack_angle_deg": "attack angle, angle of attack, angle attack",
    "dynamic_loft_deg": "dynamic loft, loft at impact, dynamic loft angle",
    "launch_angle_deg": "launch angle, vertical launch angle, vertical launch, launch angle vertical",
    "launch_direction_deg": "launch direction, horizontal launch angle, horizontal launch, launch angle horizontal, "
    "direction of launch, start direction",
    "spin_rpm": "spin, spin rate, total spin, spin total, ball spin",
    "back_spin_rpm": "back spin, backspin",
    "side_spin_rpm": "side spin, sidespin",
    "spin_axis_deg": "spin axis, spin axis tilt, spin axis angle, axis of spin",
    "carry_yd": "carry, carry distance, distance carry",
    "total_yd": "total distance, distance total",
    "offline_yd": "offline, off line, distance offline, offline distance",
    "height_yd": "height, apex, apex height, max height, maximum height, peak height, height of flight",
    "strike_across_mm": "impact across, strike across, impact horizontal, strike horizontal, horizontal impact, "
    "horizontal strike, impact heel toe, strike heel toe",
    "strike_up_mm": "impact up, strike up, impact vertical, strike vertical, vertical impact, vertical strike, "
    "impact high low, strike high low",
    "time": "time, clock, time of day, clock time, local time, timestamp, time stamp, date time, datetime, "
    "date and time, shot time, strike time, time of shot, time of strike",
    "date": "date, day, shot date",
    "club": "club, club name, club used, club type",
    "shot number": "shot, shot number, shot no, shot nr, number, no, nr, row, row number",
}
# Plain German words of the trade, from memory; the window speaks German too.
_GERMAN_TERMS = {
    "club_speed_mph": "schlägergeschwindigkeit, schlägerkopfgeschwindigkeit, schlaggeschwindigkeit",
    "ball_speed_mph": "ballgeschwindigkeit",
    "club_path_deg": "schlägerweg, schwungbahn, schlägerpfad, schwungweg, schlägerbahn",
    "face_angle_deg": "schlagfläche, schlagflächenwinkel, schlägerblatt, schlägerblattstellung, blattstellung",
    "face_to_path_deg": "schlagfläche zu weg, schlagfläche zu schlägerweg, blatt zu weg, schlagfläche zur bahn",
    "attack_angle_deg": "eintreffwinkel, angriffswinkel, auftreffwinkel",
    "dynamic_loft_deg": "dynamischer loft",
    "launch_angle_deg": "abflugwinkel, startwinkel, abflughöhe winkel",
    "launch_direction_deg": "abflugrichtung, startrichtung",
    "spin_rpm": "spinrate, drall, gesamtspin, ballspin",
    "back_spin_rpm": "rückwärtsspin, rückspin, rückwärtsdrall",
    "side_spin_rpm": "seitenspin, seitendrall, seitwärtsspin",
    "spin_axis_deg": "spinachse, drallachse",
    "carry_yd": "carrylänge, carryweite, flugweite, fluglänge",
    "total_yd": "gesamtlänge, gesamtweite, gesamtdistanz",
    "offline_yd": "seitenabweichung, seitliche abweichung, seitenablage",
    "height_yd": "flughöhe, scheitelhöhe, maximale höhe, max höhe",
    "time": "uhrzeit, schlagzeit, zeitpunkt",
    "date": "datum, tag",
    "club": "schläger",
    "shot number": "schlag, schlag nr, schlagnummer, schlag nummer",
}
_LOOSE_TERMS = {
    "club_path_deg": "path",
    "face_angle_deg": "face",
    "total_yd": "total",
    "offline_yd": "side, lateral",
}
_BY_TERM = {term.strip(): name for name, terms in _TERMS.items() for term in terms.split(",")}
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
for _name, _terms in _GERMAN_TERMS.items():
    for _term in map(str.strip, _terms.split(",")):
        _BY_TERM |= {_term: _name, _term.translate(_UMLAUTS): _name}
_BY_LOOSE_TERM = {term.strip(): name for name, terms in _LOOSE_TERMS.items() for term in terms.split(",")}
_BY_WORDS = {
    words: name
    for words, name in ((tuple(sorted(term.split())), name) for term, name in _BY_TERM.items())
    if len(words) > 1 and name not in ("time", "date", "club", "shot number")
}
"""The same terms whatever the order of their words: 'spin back', 'speed ball'."""
_GROUPS = frozenset({"ball", "club", "shot", "flight", "impact", "strike", "launch", "data"})
"""Words that a column's group puts before a name that is clear without them: 'ball launch angle'."""
_SPELLINGS = {"velocity": "speed", "centre": "center", "ang": "angle", "dir": "direction", "dist": "distance"}

EXAMPLES = "time, club, ball speed [mph], club path [deg], carry [yd]"


@lru_cache(maxsize=4096)
def tidy_term(text: str) -> str:
    """A name as plain small words: ``ClubPath``, ``club_path`` and ``Club-Path`` are one."""
    if text.strip() == "#":
        return "shot number"
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    words = re.sub(r"[\W_]+", " ", text).casefold().split()
    return " ".join(_SPELLINGS.get(word, word) for word in words)


def find_meaning(name: str) -> tuple[str, bool] | None:
    """The measure or role that a name without unit means, and whether the name is sure by itself.

    A loose name such as ``side`` or ``total`` needs numbers beneath it to be believed.
    """
    term = tidy_term(name)
    if term in _BY_TERM:
        return _BY_TERM[term], True
    if term in _BY_LOOSE_TERM:
        return _BY_LOOSE_TERM[term], False
    if term.startswith("the "):
        return find_meaning(term[4:])
    turned = _BY_WORDS.get(tuple(sorted(term.split())))
    if turned is not None:
        return turned, False
    group, _, rest = term.partition(" ")
    if rest and group in _GROUPS and rest in _BY_TERM and _BY_TERM[rest] not in ROLES:
        return _BY_TERM[rest], False
    return None


def unit_of(measure: str) -> str:
    """The unit that a measure's name carries: ``carry_yd`` -> ``yd``."""
    return measure.rsplit("_", 1)[-1]
