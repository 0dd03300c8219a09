"""``pressure --live`` as a coach types it: without a lesson, with a stick only, with a mapping that is for nothing."""

from datetime import date

import pytest

from review.app.ground import start
from review.cli.main import main
from review.jobs.pressure.mats import Mat, MatPlacement
from review.lesson import Handedness, Lesson, Pupil
from review.library import Library


@pytest.fixture
def go_live(tmp_path, monkeypatch, capsys):
    """The mat that the view is given, or None where it is not opened; exit code and what is said."""
    shown = []
    monkeypatch.setattr(start, "run_ground", lambda trace, mat: shown.append(mat) or 0)

    def go(*options):
        code = main(["pressure", *options, "--library", str(tmp_path / "library")])
        out = capsys.readouterr()
        return (shown or [None])[-1], code, " ".join((out.out + out.err).split())

    return go


def test_live_needs_no_library_and_no_lesson(go_live, tmp_path):
    mat, code, said = go_live("--live", str(tmp_path / "now.csv"))
    assert (mat.placement, mat.feet_cm, code) == (None, (), 0)
    assert "How the mat lies is not known" in said
    assert not (tmp_path / "library").exists()
    Library.open(tmp_path / "library").close()
    assert go_live("--live", str(tmp_path / "now.csv"))[1] == 0
    assert go_live("Ada", "--live", str(tmp_path / "now.csv"))[1] == 2


def test_a_mapping_without_live_is_refused(go_live):
    mat, code, said = go_live("--mapping", "bay mat")
    assert (mat, code) == (None, 2)
    assert "--pressure-mapping" in said


def test_with_a_stick_only_the_feet_are_around_where_the_pressure_is_when_standing_still(go_live, tmp_path):
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(Pupil("p1", "Ada", Handedness.LEFT))
        library.add_lesson(Lesson("l1", "p1", date(2026, 3, 14)))
        placement = MatPlacement(4.0, stance_cm=40.0, is_approximate=True, has_origin=False)
        library.set_pressure_mat("l1", Mat(placement, 20.0, 8.0).to_text())
    mat, code, said = go_live("--live", str(tmp_path / "now.csv"))
    assert (mat.placement, mat.has_origin, mat.handedness, code) == (placement, False, Handedness.LEFT, 0)
    assert "is not known: the middle is where the player first stands still" in said
    lead, trail = (foot[:, 0] for foot in mat.feet_cm)
    # with the lead foot turned out more the pressure is toward the target of midway (Winter 1995, see placement.py)
    assert max(lead) < 0 < min(trail)
    with Library.open(tmp_path / "library") as library:
        library.set_pressure_mat("l1", Mat(MatPlacement(4.0, stance_cm=40.0), 20.0, 8.0).to_text())
    known = go_live("--live", str(tmp_path / "now.csv"))[0].feet_cm[0][:, 0]
    assert lead - known == pytest.approx(0.56, abs=0.01)
