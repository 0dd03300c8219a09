"""What the coach chose of the window's look, kept from one start to the next."""

from dataclasses import asdict, dataclass, replace
from pathlib import Path

from platformdirs import user_config_path

from review.app.kept_json import read_kept, write_kept
from review.app.language import LANGUAGES
from review.app.look.theme import DARK, LIGHT, TEXT_SIZES, Theme

_THEMES = {theme.name: theme for theme in (DARK, LIGHT)}
THEME_NAMES = tuple(_THEMES)

MANY_BALLS = 100
"""Balls of one lesson from which on it is said that they are many, unless the coach sets another number.

Common practice, no source: no number of balls is known to be safe or harmful.
"""

BALL_STEP, MOST_BALLS = 10, 500

IDLE_TIMES_S = (15, 30, 60, 120, 300, 600)
"""After how long without a key the pupil view hides itself; no source."""


@dataclass(frozen=True)
class Choice:
    """Theme, text size, language, from how many balls on they are many, and when the pupil view hides itself."""

    theme_name: str = "dark"
    text_size: float = 1.0
    language: str = "en"
    many_balls: int = MANY_BALLS
    idle_s: int = 120

    @property
    def theme(self) -> Theme:
        """The theme chosen."""
        return _THEMES[self.theme_name]

    def with_next_theme(self) -> "Choice":
        """The other theme."""
        return replace(self, theme_name="light" if self.theme.is_dark else "dark")

    def with_next_size(self) -> "Choice":
        """The next text size, the first again after the last."""
        return replace(self, text_size=TEXT_SIZES[(TEXT_SIZES.index(self.text_size) + 1) % len(TEXT_SIZES)])

    def with_next_language(self) -> "Choice":
        """The next language."""
        codes = list(LANGUAGES)
        return replace(self, language=codes[(codes.index(self.language) + 1) % len(codes)])


def choice_file() -> Path:
    """Where the choice is kept."""
    return user_config_path("lesson-review", appauthor=False) / "window.json"


def read_choice(path: Path) -> Choice:
    """Read the choice; what is missing or cannot be used is as it was at first."""
    kept = read_kept(path) or {}
    allowed: dict[str, list[object]] = {
        "theme_name": list(_THEMES),
        "text_size": list(TEXT_SIZES),
        "language": list(LANGUAGES),
        "many_balls": list(range(BALL_STEP, MOST_BALLS + 1, BALL_STEP)),
        "idle_s": list(IDLE_TIMES_S),
    }
    return Choice(**{name: kept[name] for name, values in allowed.items() if kept.get(name) in values})


def write_choice(choice: Choice, path: Path) -> None:
    """Keep the choice; a folder that cannot be written loses nothing but the look."""
    write_kept(asdict(choice), path)
