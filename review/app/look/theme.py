"""Colours and sizes. Sizes follow the window: what can be read at two metres on one screen can be on the next."""

from dataclasses import dataclass

from review.palette import GROUND, INK, PAPER_INK, QUIET_INK, QUIET_PAPER_INK, hex_of, look_of

TEXT_SIZES = (1.0, 1.15, 1.3)
"""Text sizes a coach can choose, as parts of the plain one."""

_PLAIN_WIDTH_PX, _PLAIN_HEIGHT_PX = 1366, 768
_LEAST_SCALE = 0.7


@dataclass(frozen=True)
class Theme:
    """Colours as '#RRGGBB': ``ground`` behind everything, ``raised`` of panels, ``shade`` of every other band."""

    name: str
    ground: str
    raised: str
    shade: str
    line: str
    ink: str
    quiet_ink: str
    accent: str
    trouble: str
    trouble_ink: str

    @property
    def is_dark(self) -> bool:
        """Whether it is the dark one."""
        return self.name == "dark"

    def colour_of(self, batch_number: int) -> str:
        """Colour of a batch on this ground."""
        look = look_of(batch_number)
        return look.on_dark if self.is_dark else look.on_light


DARK = Theme(
    name="dark",
    ground=hex_of(GROUND),
    raised="#262C34",
    shade="#1E232A",
    line="#3C434D",
    ink=hex_of(INK),
    quiet_ink=hex_of(QUIET_INK),
    accent="#FFFFFF",
    trouble="#F2D5B0",
    trouble_ink="#2B1B05",
)
LIGHT = Theme(
    name="light",
    ground="#FBFBF9",
    raised="#ECEDE9",
    shade="#F0F1EE",
    line="#D0D3D6",
    ink=hex_of(PAPER_INK),
    quiet_ink=hex_of(QUIET_PAPER_INK),
    accent="#101418",
    trouble="#5A3208",
    trouble_ink="#FFFFFF",
)


@dataclass(frozen=True)
class Look:
    """A theme and the sizes of text, in pixels of the window (which a high-DPI screen draws finer).

    ``number_px`` for what the pupil reads, ``plain_px`` for what the coach reads, ``quiet_px`` for the rest.
    """

    theme: Theme
    number_px: int
    plain_px: int
    quiet_px: int

    @classmethod
    def fit(cls, theme: Theme, width_px: int, height_px: int, text_size: float = 1.0) -> "Look":
        """Choose the sizes for a window."""
        scale = max(_LEAST_SCALE, min(width_px / _PLAIN_WIDTH_PX, height_px / _PLAIN_HEIGHT_PX)) * text_size
        return cls(theme, *(round(px * scale) for px in (30, 22, 18)))


def make_style(look: Look) -> str:
    """The style sheet of the whole window."""
    t = look.theme
    return f"""
    * {{ font-family: 'DejaVu Sans'; font-size: {look.plain_px}px; color: {t.ink}; }}
    QMainWindow, QStackedWidget, QWidget#page {{ background: {t.ground}; }}
    QLabel#title {{ font-size: {look.number_px}px; font-weight: bold; }}
    QLabel#number {{ font-size: {look.number_px}px; }}
    QLabel#quiet {{ font-size: {look.quiet_px}px; color: {t.quiet_ink}; }}
    QListWidget {{ background: {t.ground}; border: none; outline: none; }}
    QListWidget#choices::item {{ padding: 3px 10px; border-left: 5px solid {t.ground}; }}
    QListWidget#choices::item:selected {{ background: {t.raised}; color: {t.ink}; border-left-color: {t.accent}; }}
    QScrollBar:vertical {{ background: {t.ground}; width: 12px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {t.line}; min-height: 30px; }}
    QScrollBar::add-line:vertical, QScrollBar::sub-line:vertical {{ height: 0; }}
    QFrame#trouble {{ background: {t.trouble}; }}
    QFrame#trouble QLabel, QFrame#trouble QPushButton {{ color: {t.trouble_ink}; background: {t.trouble}; }}
    QFrame#status {{ background: {t.raised}; border-top: 1px solid {t.line}; }}
    QPushButton {{ background: {t.raised}; border: 2px solid {t.line}; border-radius: 4px; padding: 4px 14px; }}
    QPushButton:focus {{ border-color: {t.accent}; }}
    QPushButton#toggle {{ border: 2px solid {t.ground}; background: {t.ground}; text-align: left; padding: 4px 10px; }}
    QPushButton#toggle:focus {{ border-color: {t.accent}; }}
    QLineEdit, QPlainTextEdit, QComboBox {{ background: {t.raised}; border: 2px solid {t.line}; border-radius: 4px;
        padding: 4px 10px; selection-background-color: {t.quiet_ink}; selection-color: {t.ground}; }}
    QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus {{ border-color: {t.accent}; }}
    QLabel#field {{ padding-top: 6px; padding-bottom: 6px; qproperty-indent: 0; }}
    QLabel#heading {{ font-weight: bold; color: {t.quiet_ink}; font-size: {look.quiet_px}px; }}
    QLabel#refusal {{ background: {t.trouble}; color: {t.trouble_ink}; padding: 8px 14px; }}
    QTextBrowser {{ background: {t.raised}; border: none; }}
    """
