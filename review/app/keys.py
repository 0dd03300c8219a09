"""The keys of the window, and the page that shows them."""

from PyQt5.QtWidgets import QTextBrowser, QWidget

from review.app.language import tr


def list_keys() -> tuple[tuple[str, str], ...]:
    """Every key and what it does."""
    return (
        ("← →", tr("swing before, swing after; on the first page: lists of pupils and lessons")),
        (tr("Home, End"), tr("first and last swing")),
        ("↑ ↓", tr("the measure that is up, the lesson's aim first")),
        ("+ −", tr("one measure more or fewer above each other")),
        ("Enter", tr("open the swing, the lesson")),
        ("Esc", tr("close the message, go back")),
        ("F2", tr("light or dark")),
        ("F3", tr("text size")),
        ("F4", tr("language")),
        ("F5", tr("what runs and waits, free space")),
        (tr("? or F1"), tr("these keys")),
        (tr("Ctrl+Q"), tr("close the window")),
    )


class KeysPage(QTextBrowser):
    """Lists the keys."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("Keys"))
        self.fill()

    def fill(self) -> None:
        """Write the list in the language that is spoken."""
        rows = "".join(
            f"<tr><td style='padding:4px 40px 4px 30px'><b>{key}</b></td><td style='padding:4px'>{what}</td></tr>"
            for key, what in list_keys()
        )
        document = self.document()
        if document is not None:
            document.setDocumentMargin(40)
        self.setHtml(f"<h2>{tr('Keys')}</h2><table>{rows}</table>")
