"""Asks for a file and says in the dialog which one is wanted: not every screen shows a window's title."""

from pathlib import Path

from PyQt5.QtWidgets import QFileDialog, QGridLayout, QLabel, QWidget


def make_file_dialog(parent: QWidget, wanted: str, folder: Path | None = None) -> QFileDialog:
    """A dialog for a file that is there, or that another program is going to begin."""
    dialog = QFileDialog(parent, wanted, str(folder) if folder is not None and folder.is_dir() else "")
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptOpen)
    dialog.setAccessibleDescription(wanted)
    layout = dialog.layout()
    if isinstance(layout, QGridLayout):  # Qt's own; a desktop's dialog says it in its title
        said = QLabel(wanted, dialog)
        said.setWordWrap(True)
        layout.addWidget(said, layout.rowCount(), 0, 1, layout.columnCount())
    return dialog


def ask_file(parent: QWidget, wanted: str, folder: Path | None = None) -> Path | None:
    """Ask for a file, beginning in ``folder`` (None: the last one of any dialog); None where none was chosen."""
    dialog = make_file_dialog(parent, wanted, folder)
    try:
        chosen = dialog.selectedFiles() if dialog.exec_() else []
        return Path(chosen[0]) if chosen else None
    finally:
        dialog.deleteLater()
