"""What the rooms behind set-up pages and tables say is German: every text written in their code, places filled."""

import ast
from pathlib import Path

import numpy as np
import pytest
from said_texts import left_english

import review
from review.app.language import speak
from review.app.live.told import say_told
from review.app.sentences import say_sentences
from review.shots.relations import find_exchanged
from review.shots.unit_guess import find_contradictions

FILES_READ = (
    *("read_holds_file", "_hold", "name_response", "write_player_setup", "read_player_setup"),
    *("read_player_setup_text", "parse_player_setup"),
)
ROOMS = {
    "body/camera_setup.py": (),
    "body/holds.py": (),
    "body/player_setup.py": (),
    "jobs/history/phone_pair.py": ("write_phone_pair",),
    "jobs/keeping_house/backup_place.py": (),
    "jobs/measuring/accuracy_words.py": (),
    "jobs/measuring/player_choice.py": (),
    "jobs/measuring/kept_setups.py": ("read_setups", "note_strangers", "load_setups"),
    "jobs/measuring/player_files.py": FILES_READ,
    "jobs/measuring/player_marking.py": (),
    "jobs/measuring/camera_marking.py": ("compute_camera",),
    "shots/column_units.py": (),
    "shots/naming.py": (),
    "shots/relations.py": (),
}
"""By file; functions whose texts no page of the window brings up are left out."""


FILLED = {
    "problem": "more than a third of the holds cannot be used.",
    "made": "x.toml was made down-the-line, left-handed, thorough run",
    "' or '.join(units)": "mph or km/h",
    "_say_way(track.model, view, handedness)": "face-on, right-handed, quick run",
}
"""What stands for what is filled in; a number for all else."""


@pytest.fixture(autouse=True)
def _english_after():
    yield
    speak("en")


def say(node: ast.expr) -> str:
    """The text of a string in the code, its places filled."""
    if isinstance(node, ast.Constant):
        return str(node.value)
    assert isinstance(node, ast.JoinedStr)
    return "".join(
        FILLED.get(ast.unparse(part.value), "7") if isinstance(part, ast.FormattedValue) else say(part)
        for part in node.values
    )


def texts_of(file: str, left_out: tuple[str, ...]) -> set[str]:
    tree = ast.parse((Path(review.__file__).parent / file).read_text(encoding="utf-8"))
    found, docs, inner = set(), set(), set()
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.FunctionDef)
            and node.name in left_out
            or isinstance(node, ast.Assign)
            and ast.unparse(node.targets[0]) in ("_EXAMPLE", "_EXPECTED")
        ):
            docs |= {id(part) for part in ast.walk(node)}
        elif isinstance(node, ast.Expr):
            docs |= {id(part) for part in ast.walk(node.value)}
        elif isinstance(node, ast.JoinedStr):
            inner |= {id(part) for part in ast.walk(node) if part is not node}
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))
        if is_text and id(node) not in docs | inner and len(say(node).split()) > 2 and say(node)[0] != ",":
            found.add(say(node))
    return found


@pytest.mark.parametrize("file", ROOMS)
def test_every_text_is_german(file):
    texts = texts_of(file, ROOMS[file])
    assert texts
    speak("de")
    assert left_english({say_sentences(text) for text in texts}, ()) == set()


def test_a_note_about_a_camera_is_german_with_its_numbers():
    speak("de")
    note = (
        "Camera behind: The stick fits a lens whose focal length is 3.3 x the picture's longer side; phones are near "
        "0.7 to 2. Check the stick's length and the player's stature."
    )
    assert say_sentences(note) == (
        "Kamera behind: Zum Stab passt ein Objektiv, dessen Brennweite das 3,3-fache der längeren Bildseite ist; bei "
        "Telefonen etwa 0,7 bis 2. Länge des Stabs und Größe des Spielers prüfen."
    )


def test_doubts_about_columns_that_do_not_go_together_are_german_and_name_no_command():
    """Every kind, made by the functions that make them; sizes that no shots have."""
    units = {"club_speed_mph": "mph", "ball_speed_mph": "mph", "carry_yd": "yd"}
    doubts = [
        doubt
        for sizes in ((94.0, 70.0, 126.0), (70.0, 1884.0, 126.0), (70.0, 94.0, 20.0))
        for doubt in find_contradictions(dict(zip(units, sizes, strict=True)), units)
    ]
    path, face = np.linspace(-6, 6, 9), np.linspace(4, -4, 9)
    launch = path + 0.75 * (face - path)
    doubts += [
        doubt
        for read in ((path, face), (face, -path), (-face, path), (-face, -path))
        for doubt in find_exchanged(
            {"launch_direction_deg": launch, "face_angle_deg": read[0], "club_path_deg": read[1]}
        )
    ]
    assert len(doubts) == 8
    assert len({say_sentences(doubt).split(", if ")[0] for doubt in doubts}) > 4
    for doubt in doubts:
        assert "--" not in say_sentences(doubt)
    speak("de")
    said = {say_sentences(doubt) for doubt in doubts}
    assert left_english(said, ()) == set()
    assert not any("--" in text for text in said)
    assert "Balltempo um 1884,0 mph: das haben Schläge nicht. Andere Einheit oder andere Spalte?" in said


def test_a_place_at_the_end_does_not_take_the_full_stop():
    speak("de")
    said = say_sentences(
        "a.csv: columns state no unit, and beside each other their numbers cannot be in mph: 'v' (about "
        "31.2) can be m/s. Correct the header or the mapping."
    )
    assert "'v' (etwa 31,2) kann m/s sein. Kopf oder Lesart berichtigen." in said


def test_what_a_consent_covers_is_said_in_the_window_s_language():
    told = "Consent to keep, measure, share is not on record: ask Pat, then add it with --consent-by and --consent-for."
    speak("de")
    assert say_told(told) == (
        "Eine Einwilligung (Clips und Zahlen aufbewahren, den Körper im Video messen, die Mitgabe weitergeben) "
        "ist nicht vermerkt: Pat fragen, dann mit A vermerken."
    )
