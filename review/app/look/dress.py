"""Colours for what Qt draws itself, file dialogs and message boxes say, and its own words in the coach's language."""

from PyQt5.QtCore import QLibraryInfo, QTranslator
from PyQt5.QtGui import QColor, QPalette
from PyQt5.QtWidgets import QApplication

from review.app.look.theme import Theme

_Role, _Group = QPalette.ColorRole, QPalette.ColorGroup
_translators: list[QTranslator] = []


def make_palette(theme: Theme) -> QPalette:
    """The theme as a palette: a style sheet gives letters their colour, but not lists their ground."""
    palette = QPalette()
    roles = {
        theme.ground: (_Role.Window, _Role.Base, _Role.HighlightedText),
        theme.raised: (_Role.Button, _Role.ToolTipBase),
        theme.shade: (_Role.AlternateBase,),
        theme.line: (_Role.Mid,),
        theme.ink: (_Role.WindowText, _Role.Text, _Role.ButtonText, _Role.ToolTipText, _Role.BrightText, _Role.Link),
        theme.quiet_ink: (_Role.Highlight, _Role.PlaceholderText),
    }
    for colour, those in roles.items():
        for role in those:
            palette.setColor(role, QColor(colour))
    for role in (_Role.WindowText, _Role.Text, _Role.ButtonText):
        palette.setColor(_Group.Disabled, role, QColor(theme.quiet_ink))
    return palette


def dress(theme: Theme) -> None:
    """Give the theme's colours to everything the application shows."""
    palette = make_palette(theme)
    if QApplication.palette() != palette:
        QApplication.setPalette(palette)


def speak_in_dialogs(code: str) -> None:
    """Have Qt's own words, of file dialogs say, in a language; English where Qt has none."""
    application = QApplication.instance()
    if application is None:
        return
    while _translators:
        application.removeTranslator(_translators.pop())
    translator = QTranslator(application)
    if translator.load(f"qtbase_{code}", QLibraryInfo.location(QLibraryInfo.LibraryLocation.TranslationsPath)):
        application.installTranslator(translator)
        _translators.append(translator)
