"""What the strip at the foot says while the coach draws; without Qt."""

from review.app.drawings.changes import is_on_one_frame
from review.app.drawings.sketch import N_POINTS, Sketch
from review.app.language import tr
from review.lesson import Drawing, DrawingKind


def say_kind(kind: DrawingKind) -> str:
    """Name a kind of drawing."""
    return {
        DrawingKind.LINE: tr("Line"),
        DrawingKind.ANGLE: tr("Angle"),
        DrawingKind.ARROW: tr("Arrow"),
        DrawingKind.CIRCLE: tr("Circle"),
        DrawingKind.FREEHAND: tr("Freehand"),
        DrawingKind.TEXT: tr("Text"),
    }[kind]


def say_tools() -> str:
    """What can be begun."""
    return tr("Draw: L line, A angle, R arrow, C circle, F freehand, T text · Tab choose one drawn · Esc done")


def say_sketch(sketch: Sketch) -> str:
    """What to press while a drawing is made."""
    kind = say_kind(sketch.kind)
    if sketch.kind is DrawingKind.FREEHAND:
        if sketch.placed:
            return tr(
                "{kind}: arrows draw (Shift finely) · Enter ends it · Backspace one back · Esc drops it", kind=kind
            )
        return tr(
            "{kind}: arrows to its start, Enter; or draw with the mouse, its button held · Esc leave it", kind=kind
        )
    if sketch.kind is DrawingKind.TEXT:
        return tr("{kind}: arrows to its place (Shift finely), Enter, or click · Esc leave it", kind=kind)
    return tr(
        "{kind}, point {n} of {all}: arrows (Shift finely), Enter, or click · Backspace one back · Esc leave it",
        **{"kind": kind, "n": len(sketch.placed) + 1, "all": N_POINTS[sketch.kind]},
    )


def say_typing() -> str:
    """What to press while words are typed."""
    return tr("Type the words · Enter keeps them · Esc leaves them")


def say_drawing(drawing: Drawing) -> str:
    """What is chosen, and what can be done with it."""
    parts = [say_kind(drawing.kind)]
    if drawing.tied_to:
        parts.append(tr("follows {point}", point=tr(drawing.tied_to)))
    parts.append(tr("on this frame only") if is_on_one_frame(drawing) else tr("through the clip"))
    return tr(
        "{what} · arrows move it (Shift finely) · P pen · B body point · O one frame or all · Del · Tab · Esc done",
        what=", ".join(parts),
    )
