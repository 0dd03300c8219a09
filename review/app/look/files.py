"""Asks for a file and says in the dialog which one is wanted: not every screen shows a window's title."""

from pathlib import Path

from PyQt5.QtWidgets import QFileDialog, QGridLayout, QLabel, QWidget

_PART_OF_WINDOW = 0.75


def make_file_dialog(parent: QWidget, wanted: str, folder: Path | None = None) -> QFileDialog:
    """A dialog for a file that is there, or that another program is going to begin."""
    dialog = QFileDialog(parent, wanted, str(folder) if folder is not None and folder.is_dir() else "")
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptOpen)
    dialog.setAccessibleDescription(wanted)
    layout = dialog.layout()
    if isinstance(layout, QGridLayout):  # Qt's own; a desktop's dialog says it in its title
        _put_above(QLabel(wanted, dialog), layout)
    window = parent.window()
    if window is not None:
        dialog.resize(round(_PART_OF_WINDOW * window.width()), round(_PART_OF_WINDOW * window.height()))
    return dialog


def _put_above(said: QLabel, grid: QGridLayout) -> None:
    """Put words above all that is in a grid, which has no room there yet."""
    said.setWordWrap(True)
    said.setObjectName("heading")
    places = [grid.getItemPosition(n) for n in range(grid.count())]
    items = [grid.takeAt(0) for _ in places]
    grid.addWidget(said, 0, 0, 1, -1)
    for item, place in zip(items, places, strict=True):
        row, column, rows, columns = (int(number or 0) for number in place)
        grid.addItem(item, row + 1, column, rows, columns)


def ask_file(parent: QWidget, wanted: str, folder: Path | None = None) -> Path | None:
    """Ask for a file, beginning in ``folder`` (None: the last one of any dialog); None where none was chosen."""
    dialog = make_file_dialog(parent, wanted, folder)
    try:
        chosen = dialog.selectedFiles() if dialog.exec_() else []
        return Path(chosen[0]) if chosen else None
    finally:
        dialog.deleteLater()
