"""The keys of the window, page by page."""

from review.app.language import tr


def list_chart_keys() -> tuple[tuple[str, str], ...]:
    """Every key of the lesson chart and what it does."""
    return (
        ("← →", tr("swing before, swing after; on the first page: lists of pupils and lessons")),
        (tr("Home, End"), tr("first and last swing")),
        ("↑ ↓", tr("the measure that is up, aim first")),
        ("+ −", tr("one measure more, fewer")),
        ("Enter", tr("open the swing, the lesson")),
        ("E", tr("put batches and swings right")),
        ("T", tr("the take-home")),
        ("R", tr("how far one reading of the device errs: needed to judge")),
        ("M", tr("measure the lesson's clips")),
        ("F", tr("how the balls flew, where struck")),
        ("G", tr("the pressure under the feet")),
        ("S", tr("two swings side by side")),
        ("V H", tr("camera, player set-up; live too")),
    )


def list_window_keys() -> tuple[tuple[str, str], ...]:
    """Every key that counts on all pages and what it does."""
    return (
        ("Esc", tr("close the message, go back")),
        ("F2", tr("light or dark")),
        ("F3", tr("text size")),
        ("F4", tr("language")),
        ("F5", tr("the pupil view; F5 or Esc comes back")),
        ("F6", tr("look at a device's table")),
        ("F7", tr("open questions about clips and rows")),
        ("F8", tr("what runs and waits, free space")),
        ("F9", tr("cautions before the first ball")),
        ("F11", tr("all of a long message")),
        ("F12", tr("settings")),
        ("F10", tr("begin a lesson; in a lesson: the next pupil, from this moment on")),
        (tr("? or F1"), tr("these keys")),
        (tr("Ctrl+Z, Ctrl+Y"), tr("undo, do again")),
        (tr("Ctrl+Q"), tr("close the window")),
    )


def list_swing_keys() -> tuple[tuple[str, str], ...]:
    """Every key of the page of one swing and what it does."""
    return (
        ("← →", tr("one frame; with Shift ten")),
        (tr("Page up, page down"), tr("key frame before, after")),
        (tr("Home, End"), tr("first and last frame")),
        (tr("Space"), tr("play, stand still")),
        ("1 2 4 8", tr("true speed, ½, ¼, ⅛ of it")),
        ("L", tr("play between the first and the last key frame over and over")),
        ("[ ]", tr("let that begin, or end, at the key frame nearest")),
        ("B", tr("lines of the body")),
        ("A", tr("the address frame, faintly")),
        ("C", tr("curves over time")),
        ("V", tr("the other camera leads")),
        ("+ − 0", tr("larger, smaller, as filmed")),
        (tr("Ctrl + arrows"), tr("shift the picture")),
        (", .", tr("straighten the picture")),
        ("↑ ↓", tr("swing before, swing after")),
        (tr("K N W Del"), tr("key frame; mark; note; off")),
        ("D", tr("draw on the picture")),
        ("T", tr("talk over it, T ends; Enter writes a note")),
    )


def list_drawing_keys() -> tuple[tuple[str, str], ...]:
    """Every key while the coach draws on a swing and what it does, beside those that move and enlarge the picture."""
    return (
        ("L A R C", tr("line, angle, arrow, circle")),
        ("F T", tr("freehand by arrows or mouse, Enter ends it; text")),
        ("← → ↑ ↓", tr("to the point; move what is chosen; Shift: finely")),
        ("Enter", tr("set the point; Backspace takes one back")),
        (tr("Tab, Del"), tr("choose the next; take it off")),
        ("P B O", tr("another pen; follow a body point; this frame only")),
    )


def list_live_keys() -> tuple[tuple[str, str], ...]:
    """Every key while a lesson goes on and what it does, beside those of the lesson chart."""
    return (
        ("B", tr("a new batch; then the feel of the one before is asked for")),
        ("W", tr("cue and feel of the batch; ↓ picks earlier words")),
        ("Q F", tr("speak the cue, the feel: ten seconds; in a line Ctrl+R")),
        ("K", tr("the club; another one begins a batch")),
        ("S P D C", tr("the chosen swing, or the last: shot, practice, drill, coach's demonstration")),
        ("L", tr("it belongs to the newest batch; once more: to the one before")),
        ("X", tr("leave it out, with a reason; let it count again")),
        ("U", tr("take the last key back")),
        (tr("Space"), tr("hold the newest swing, let it go on")),
        ("1 2 3", tr("another number in the first, second, third place")),
        ("Y N", tr("answer to a question: they belong together; that swing has no row")),
        ("A E", tr("what this pupil agrees to; end of the lesson")),
    )


def list_batch_keys() -> tuple[tuple[str, str], ...]:
    """Every key while batches and swings of a lesson are put right, beside those of the lesson chart."""
    return (
        ("W", tr("cue and feel of the chosen swing's batch; ↓ picks earlier words")),
        ("Q F", tr("speak the cue, the feel: ten seconds; in a line Ctrl+R")),
        ("K", tr("its club, target, ball")),
        ("O", tr("close it, open it")),
        ("B", tr("a new batch begins with the chosen swing")),
        (tr("L, 1 to 9"), tr("the swing belongs to another batch")),
        ("Shift ← →", tr("several swings: moved, left out, kept")),
        ("S P D C", tr("it was a shot, practice, a drill, the coach's demonstration")),
        ("X", tr("leave it out, with a reason; let it count again")),
        ("G", tr("keep its clips for good, or no longer")),
        ("U R E", tr("undo, do again, done")),
    )


def list_ground_keys() -> tuple[tuple[str, str], ...]:
    """Every key of the page of the pressure under the feet, and of the pressure live, and what it does."""
    return (
        ("L", tr("the pupil live on the mat")),
        ("M", tr("the mat: table and steps; there Ctrl+O: a file")),
        ("↑ ↓", tr("more of the words; live all arrows: the ring")),
        ("+ − R F", tr("live: the ring, turn the view, whole screen")),
    )


def list_look_keys() -> tuple[tuple[str, str], ...]:
    """The keys of the window that count where the pressure live has no window around it."""
    return ("F2", tr("light or dark")), ("F4", tr("language")), (tr("? or F1"), tr("these keys"))


def list_pair_keys() -> tuple[tuple[str, str], ...]:
    """Every key of the page of two swings side by side and what it does."""
    return (
        ("← →", tr("both one frame back, one frame on, of the finer clip; with Shift ten")),
        (tr("Page up, page down"), tr("key frame before, after")),
        (tr("Home, End"), tr("first and last frame")),
        (tr("Space"), tr("play, stand still")),
        ("1 2 4 8", tr("true speed, ½, ¼, ⅛ of it")),
        ("L", tr("play between the first and the last key frame over and over")),
        ("K", tr("lock both at the next key frame or mark")),
        ("T", tr("meet at every key frame: time is stretched, and said to be")),
        ("O", tr("one seen through the other, feet on feet; side by side again")),
        (", .", tr("see less, more of the second")),
        (tr("Tab"), tr("choose the side whose swing is changed")),
        ("↑ ↓", tr("another swing on that side")),
        ("D", tr("the typical swings of first and last batch again")),
        ("V", tr("the other camera")),
        ("M", tr("the next measure beneath")),
        ("B", tr("lines of the body")),
        ("+ − 0", tr("larger, smaller, as filmed")),
    )


def list_remote_keys() -> tuple[tuple[str, str], ...]:
    """The four keys of a presenter's remote in the pupil view, and what they are on a keyboard."""
    return (
        (tr("Page down, →"), tr("the next step: address, top, impact, finish, three numbers, felt and measured")),
        (tr("Page up, ←"), tr("the step before")),
        (tr("B . Space"), tr("play from address to finish over and over, hold")),
        (tr("F5, Esc"), tr("leave; on every page F5 brings the pupil view up")),
        (tr("any of them"), tr("back from the calm page, which comes some time after the last key (F12)")),
    )


def list_pupil_keys() -> tuple[tuple[str, str], ...]:
    """Every key of a pupil's page and what it does."""
    return (
        (tr("Space"), tr("on the first page: the pupil's page")),
        ("+", tr("on the first page: a new pupil")),
        ("/", tr("on the first page: search cues, feels, notes")),
        ("Y", tr("the pupil over the years; there ← →: another measure")),
        ("P", tr("a clip from the pupil's phone")),
        ("E", tr("correct who the pupil is")),
        ("C", tr("consent: to what, until when; none ticked: refused, withdrawn")),
        ("N", tr("private note")),
        (tr("Del"), tr("forget the pupil, by the typed name")),
        (tr("Enter, Esc"), tr("in a form: keep, leave")),
    )


def list_other_keys() -> tuple[tuple[str, str], ...]:
    """Keys of the pages for a table, questions, cautions, settings and this list."""
    return (
        (tr("Enter, F, X"), tr("table: change a column, flip its sign, leave it out")),
        ("K A O", tr("table: keep how it is read, add it to the lesson, another table")),
        ("Y N R", tr("questions: they belong together, no row, another row")),
        ("+ −", tr("before the first ball: how many balls are many")),
        ("← →", tr("settings: change the one that is chosen")),
        ("B", tr("settings: backup and old clips")),
        ("S V N M", tr("camera set-up: leave out, other camera, anew, measure")),
        ("R C O M", tr("player set-up: read, other clip, a file, measure")),
        ("P", tr("keys: a page to print")),
    )


Group = tuple[str, tuple[tuple[str, str], ...]]
"""A title, and keys with what they do."""


def list_groups_of(page: str) -> tuple[Group, ...]:
    """The keys that count on a page, by its name in the window; all where the page has none of its own."""
    everything = list_groups()
    places = {"chart": (0, 3, 1), "swing": (4, 5), "pair": (7, 6), "live": (2, 1), "ground": (10, 1)}
    places |= dict.fromkeys(("pupil", ""), (8, 1))
    return tuple(everything[place] for place in places.get(page, (9, 1)))


def list_groups() -> tuple[Group, ...]:
    """All keys, page by page."""
    return (
        (tr("Keys of the lesson chart"), list_chart_keys()),
        (tr("Keys on every page"), list_window_keys()),
        (tr("Keys while a lesson goes on"), list_live_keys()),
        (tr("E: batches and swings put right"), list_batch_keys()),
        (tr("Keys of a swing"), list_swing_keys()),
        (tr("Keys while drawing"), list_drawing_keys()),
        (tr("Pupil view: four keys of a remote"), list_remote_keys()),
        (tr("Keys of two swings side by side"), list_pair_keys()),
        (tr("Keys of a pupil"), list_pupil_keys()),
        (tr("Keys of other pages"), list_other_keys()),
        (tr("Keys of the pressure under the feet"), list_ground_keys()),
    )
