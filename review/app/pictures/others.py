"""Pictures of the pages beside the lesson: a pupil, the forms, the cautions, a device's table, open questions."""

from collections.abc import Callable
from datetime import date
from typing import Any

from review.app.window import Window
from review.jobs.sample import find_sample_lesson

Draw = Callable[[str], None]
Wait = Callable[[Callable[[], None]], None]


def draw_other_pages(window: Window, pupil_id: str, draw: Draw, wait: Wait) -> None:
    """Draw them; ``wait`` begins work beside the window and waits for it. Nothing of the library is changed."""
    page: Any = window.others.show("pupil")
    wait(lambda: page.open_pupil(pupil_id))
    draw("pupil")
    if page.shown is not None:
        for name, form in (("details", page.details), ("consent", page.consent)):
            if form is page.consent:
                page.consent.show_pupil(page.shown.pupil, date.today())
            else:
                page.details.show_pupil(page.shown.pupil)
            page.parts.setCurrentWidget(form)
            draw(f"pupil_{name}")
        wait(page.ask_to_forget)
        draw("pupil_forget")
        page.parts.setCurrentWidget(page.overview)
    years: Any = window.others.show("years")
    wait(lambda: years.open_pupil(pupil_id))
    wait(lambda: None)
    draw("years")
    years.left.emit()
    if page.shown is not None:
        phone: Any = window.others.show("phone_clip")
        phone.open_pupil(page.shown.pupil)
        draw("phone_clip")
        phone.left.emit()
    search: Any = window.others.show("search")
    wait(lambda: search.field.setText("a"))
    draw("search")
    search.left.emit()
    cautions: Any = window.others.show("cautions")
    cautions.show_balls(34)
    draw("cautions")
    cautions.left.emit()
    tables: Any = window.others.show("tables")
    wait(lambda: tables.open_table(find_sample_lesson().parent / "shots.csv"))
    draw("table")
    window.others.show("questions")
    draw("questions")
    window.pages.setCurrentWidget(window.start_page)
