"""``open --pictures``: every view as a picture, without a screen."""

import re
import subprocess
import sys
from pathlib import Path

from PIL import Image

from review.app.other_pages import PAGES
from review.app.pictures import views as drawing


def test_every_view_is_drawn_in_both_themes(sample_library, tmp_path, monkeypatch):
    monkeypatch.setattr(drawing, "SIZES_PX", ((1366, 768),))  # the other size takes three times as long
    drawn = {file.stem: file for file in drawing.draw_views(tmp_path, sample_library)}
    views = {name.rsplit("_", 2)[0] for name in drawn}
    assert {"pupils", "lesson_chart", "lesson_chart_swing", "lesson_chart_three_measures", "swing", "keys"} <= views
    assert {"lesson_chart_put_right", "live", "live_feel", "drawing_chosen", "drawing_line", "mark_named"} <= views
    assert {"pressure_live", "voice", "talk", "take_home", "camera_setup", "player_setup", "settings", "table"} <= views
    for view in views:
        for theme in ("dark", "light"):
            with Image.open(drawn[f"{view}_{theme}_1366"]) as image:
                assert image.size == (1366, 768)
                grey = image.convert("L")
                ground = grey.getpixel((1363, 384))
                assert (ground < 90) == (theme == "dark"), (view, theme)
                assert len(grey.getcolors(1 << 24)) > 20, view  # lettering has many shades; an empty page has one


def test_every_page_of_the_table_is_drawn():
    """By the names alone: a page asked for in the files that draw pictures is drawn there."""
    files = Path(drawing.__file__).parent.glob("*.py")
    texts = [file.read_text(encoding="utf-8") for file in files]
    assert set(re.findall(r'others\.(?:show|ask)(?:\("|_)(\w+)', " ".join(texts))) == set(PAGES)


def test_a_library_without_a_lesson_is_said(tmp_path):
    asked = ["-m", "review", "open", "--pictures", str(tmp_path / "to"), "--library", str(tmp_path / "nothing")]
    done = subprocess.run([sys.executable, *asked], capture_output=True, text=True, timeout=120)
    assert done.returncode == 2
    assert "There is no lesson in" in done.stderr
    assert "Traceback" not in done.stderr
